"""One thumb on a phone: every tap, letter and flick is counted, and told in seconds by published figures.

Card, Moran and Newell, "The keystroke-level model for user performance time with interactive systems", Communications
of the ACM 23 (1980) 396-410: operators K, P, H and M, and rule 0 for M, which stands before what chooses and not before
arguments such as numbers (figures from tables that quote the paper, the rule from memory). They measured mice and
keyboards. For a phone, letters are taken at the model's pace for random letters; Palin, Feit, Kim, Kristensson and
Oulasvirta, "How do people type on mobile devices?" (MobileHCI 2019, from its abstract), measured 36.2 words a minute,
that is 0.33 s a letter. A flick that moves the page by no more than most of a screen is taken as one more act of
pointing: an assumption, no source.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from playwright.sync_api import Locator, Page

POINT = 1.10  # [s] P: to a target
PRESS = 0.20  # [s] K: a button
LETTER = 0.50  # [s] K: typing random letters
HOME = 0.40  # [s] H: from the page to the keyboard and back
THINK = 1.35  # [s] M: before whatever chooses
REACH = 0.7  # share of the screen that a flick moves

COUNT = """() => {
    window.counted = { taps: 0, letters: 0 };
    addEventListener("pointerdown", (event) => { if (event.isTrusted) window.counted.taps++; }, true);
    addEventListener("keydown", (event) => { if (event.isTrusted) window.counted.letters++; }, true);
}"""


@dataclass
class Thumb:
    """Uses the page as a person does; `held` are seconds for which a button was held."""

    page: Page
    taps: int = 0
    letters: int = 0
    fields: int = 0
    flicks: int = 0
    held: float = 0.0

    def tap(self, place: Locator) -> None:
        """Scroll there, then tap."""
        self._reach(place)
        place.tap()
        self.taps += 1

    def type(self, place: Locator, text: str) -> None:
        """Tap a field and type into it, letter by letter."""
        self.tap(place)
        place.press_sequentially(text)
        self.letters += len(text)
        self.fields += 1

    def choose(self, place: Locator, value: str) -> None:
        """A choice of the phone's own: tap, flick through it, tap."""
        self._reach(place)
        place.select_option(value)
        self.taps += 2
        self.flicks += 1

    def hold(self, place: Locator, seconds: float) -> None:
        """Hold a button."""
        self._reach(place)
        place.hover()
        self.page.mouse.down()
        self.page.wait_for_timeout(1000.0 * seconds)
        self.page.mouse.up()
        self.taps += 1
        self.held += seconds

    def _reach(self, place: Locator) -> None:
        before = self.page.evaluate("scrollY")
        place.scroll_into_view_if_needed()
        height = self.page.viewport_size["height"] if self.page.viewport_size else 1
        self.flicks += math.ceil(abs(self.page.evaluate("scrollY") - before) / (REACH * height))

    @property
    def seconds(self) -> float:
        """How long taps, letters and flicks take."""
        taps = self.taps * (POINT + PRESS) + (self.taps - self.fields) * THINK
        return taps + self.letters * LETTER + self.fields * 2 * HOME + self.flicks * POINT + self.held

    def told(self) -> str:
        """The counts in words."""
        return (
            f"{self.taps} taps, {self.letters} letters in {self.fields} fields, {self.flicks} flicks, "
            f"{self.held:.1f} s held: {self.seconds:.0f} s"
        )
