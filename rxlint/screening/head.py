"""What the head of a document says of itself. It stands alone, so that a library is told without the reader."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Head:
    """What the head of a document says of itself. None where it does not say it, or it could not be read.

    ``shown`` is the document's name within its library; ``follows`` the identifier and the revision that it names.
    """

    shown: str
    kind: str | None = None
    id: str | None = None
    revision: int | None = None
    status: str | None = None
    follows: tuple[str, int] | None = None

    @property
    def told(self) -> str:
        """Its identifier and revision in words."""
        revision = f" revision {self.revision}" if self.revision is not None else " without a revision"
        return f"{self.id or 'a document without an id'}{revision}"
