"""Documents for the tests of the Python interface, and texts that nobody should be hurt by."""

import datetime
from typing import Final

from tests.conftest import ROOT

DAY: Final = datetime.date(2026, 11, 24)
SLIP: Final = ROOT / "examples" / "slips" / "peep-raised-alone.vrx"
SOUND: Final = ROOT / "examples" / "sound" / "TM-0417-tracheostomy-night.vrx"
POLICY: Final = ROOT / "examples" / "tarnmoor-policy.yaml"

# A choice of what may become of an example: found, accepted, unread lines, followed templates, tables, several periods.
CHOSEN: Final = (
    SLIP,
    SOUND,
    *(
        ROOT / "examples" / "slips" / f"{name}.vrx"
        for name in (
            "acceptance-past-its-date",
            "ceiling-left-out",
            "settings-for-a-misspelt-night",
            "space-from-a-word-processor",
            "support-range-too-narrow-for-its-relation",
            "template-revised-since",
            "unit-left-out",
        )
    ),
)

ORDER: Final = 'prescription "x"\nsettings\n  mode A/C-PC\n  PEEP 5 cmH2O\n'
HOSTILE: Final[dict[str, str | bytes]] = {
    "nothing": "",
    "blank": " \n\t\n",
    "comments alone": "# nobody\n",
    "zero byte": "prescription \x00",
    "lone surrogate": ORDER + "  rate \ud800 /min\n",
    "bytes of no text": b"\xff\xfe\x00p",
    "cut character": ORDER.encode() + b"  rate \xc3",
    "terminal escapes": ORDER + "  rate \x1b[2J\x1b]0;owned\x07 12 /min\n",
    "another direction": ORDER + "  rate \u202e21\u202c /min\n",
    "markup": 'prescription "<script>alert(1)</script>"\nsettings\n  PEEP <b>5</b> cmH2O\n',
    "a long line": ORDER + "  rate " + "9" * 100_000 + " /min\n",
    "deep brackets": ORDER + "  keep PEEP = " + "(" * 900 + "5" + ")" * 900 + "\n",
    "many lines": "x\n" * 60_000,
    "large": b"#" * (5 * 1024 * 1024),
    "carriage returns": ORDER.replace("\n", "\r"),
    "a path": "examples/slips/peep-raised-alone.vrx",
    "no document": "settings\n  PEEP 5 cmH2O\n",
}
