"""The caution that every report carries."""

from typing import Final

CAUTION: Final = (
    "A screening aid, not a medical device. No finding means only that the listed checks found nothing; "
    "local policy, the ventilator's own instructions and licensed clinicians decide."
)
