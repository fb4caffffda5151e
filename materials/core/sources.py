"""Where a figure was printed, kept beside the figure."""

from __future__ import annotations

from dataclasses import dataclass

CONFIDENCES = ("read", "quoted", "memory")


@dataclass(frozen=True, slots=True, kw_only=True)
class Source:
    """A document, its edition and the place in it.

    `confidence` is "read" (the text itself was read), "quoted" (a second text
    quotes it) or "memory" (nobody has looked it up yet: pages say so).
    """

    title: str
    edition: str = ""
    place: str = ""
    confidence: str = "read"

    def __post_init__(self) -> None:
        """Refuse a source without a title, or with a confidence nobody defined."""
        if not self.title.strip():
            raise ValueError("A source needs the title of what was printed.")
        if self.confidence not in CONFIDENCES:
            raise ValueError(
                f"A source is {', '.join(CONFIDENCES)}; not “{self.confidence}”."
            )

    def __str__(self) -> str:
        """Return title, edition and place, and say when it is from memory."""
        text = ", ".join(
            part for part in (self.title, self.edition, self.place) if part
        )
        return f"{text} (from memory)" if self.confidence == "memory" else text

    @classmethod
    def shop_practice(cls, what: str) -> Source:
        """Return a source for a figure of ordinary practice that nobody printed."""
        return cls(title=f"common practice, no source: {what}", confidence="memory")

    @classmethod
    def product_sheet(cls, what: str) -> Source:
        """Return a source for a figure taken from the product's own sheet."""
        return cls(title=f"product sheet: {what}")
