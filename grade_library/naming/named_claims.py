"""What a typed name claims: one grade, all the grades and materials it can mean, or a question."""

from grade_library.facts import Claim, Form
from grade_library.grade import Grade
from grade_library.library import GradeLibrary
from grade_library.naming.designations import designated, tried_names
from grade_library.naming.grade_names import NameRank
from grade_library.naming.name_catalogue import Meaning, NameCatalogue
from grade_library.naming.name_tables import Hit
from grade_library.naming.name_text import squash
from grade_library.naming.slips import MOST_OFFERS, Slips
from grade_library.naming.trade_words import GradeIds, TradeWord, members_of

_SHORT_SCORE = 100.0 - 0.1 * NameRank.SHORT
"""Score of a short form: that of a stated name lies above it."""


class NamedClaims:
    """Makes claims of names in the dictionary, and of designations read by their system."""

    def __init__(
        self, library: GradeLibrary, catalogue: NameCatalogue, answers: tuple[Grade, ...], slips: Slips
    ) -> None:
        self._answers = answers
        self._made_of = library.made_of
        self._ids = GradeIds(library.grades)
        self._catalogue = catalogue
        self._tables = catalogue.tables
        self._slips = slips

    def named(self, text: str) -> Meaning | None:
        """Return what the text names: as it stands, in another system, or once prefixes and tempers are off.

        What is left of a designation ("SS400" less "SS") counts only where it is of the kind that the
        whole means.
        """
        meaning = self._catalogue.meaning(text)
        if meaning is not None:
            return meaning
        if (elsewhere := self._elsewhere(text)) is not None:
            return elsewhere
        bare = self._catalogue.bare(text)
        return None if bare is None else self._of_its_kind(text, bare)

    def _elsewhere(self, text: str) -> Meaning | None:
        """Return the meaning of a designation that the library holds under another system's name.

        Where the system reads both alike, only words and blanks were dropped, and the dictionary knows the
        grade better than the system its kind: C70350 is a high copper by itself and a cupronickel by range.
        """
        for name in tried_names(text):
            found = self._catalogue.grade_meaning(squash(name), "")
            if found is None:
                continue
            read = designated(text)
            if read is not None and read == designated(name):
                return found
            if (fits := self._of_its_kind(text, found)) is not None:
                return fits
        return None

    def _of_its_kind(self, text: str, meaning: Meaning) -> Meaning | None:
        """Return what of a meaning is of the kind that words and system of the whole text tell.

        None where nothing is: "AA 1050" is no SAE steel, and "SS400" no Alloy 400.
        """
        if not self._catalogue.is_of_kinds(text, meaning):
            return None
        by_system = self.by_system(text)
        if by_system is None:
            return meaning
        hits = [hit for hit in meaning.hits if self._answers[hit.row].grade_id in by_system.grade_ids]
        return self._catalogue.labelled(meaning.label, hits)

    def by_system(self, text: str) -> Claim | None:
        """Return the kind that a designation stands for, where the library lacks the grade itself."""
        known = designated(text)
        if known is None:
            return None
        label = text.strip()
        word = TradeWord(
            word=label, families=known.families, groups=known.groups, series=known.series, source="memory"
        )
        members = frozenset(members_of(word, self._ids))
        if not members:
            return None
        remark = f"{known.said} by its {known.system}, not in the library"
        slips = self._slips.one_swap_away(squash(text))
        remark += f"; or {' or '.join(slips)} with two signs changed over?" if slips else ""
        return Claim(
            text=text,
            label=f"{label} kind",
            grade_ids=members,
            remark=remark,
            is_exact=not slips,
            offers=slips,
        )

    def claim(self, text: str, meaning: Meaning, *, is_exact: bool) -> Claim:
        """Return the claim of a meaning; one that can be metal or thing has to be asked back."""
        first = self._tables.first_material
        grades = frozenset(self._answers[hit.row].grade_id for hit in meaning.hits if hit.row < first)
        materials = tuple(self._answers[hit.row].grade_id for hit in meaning.hits if hit.row >= first)
        ask, offers = meaning.ask, meaning.offers
        if grades and materials and not ask and not self._is_one_metal(grades, materials):
            ask = "the metal, or the thing?"
            offers = (*self._offered(meaning), *materials)[:MOST_OFFERS]
        if not ask and (slips := self._changed_over(text, meaning)):
            ask = f"{meaning.label}, or {' or '.join(slips)} with two figures changed over?"
            offers = (meaning.hits[0].via if len(meaning.hits) > 1 else meaning.label, *slips)[:MOST_OFFERS]
        if not ask:
            made_of = [self._made_of[material] for material in materials]
            grades = grades.union(*made_of) if all(made_of) else grades
        return Claim(
            text=text,
            label=_called(meaning),
            grade_ids=grades,
            is_exact=is_exact,
            material_ids=materials,
            ask=ask,
            offers=offers,
            is_usual=meaning.is_usual,
            tongue=meaning.tongue,
            form=Form(meaning.form) if meaning.form else None,
            is_near=bool(meaning.hits) and all(self.is_near(hit) for hit in meaning.hits),
        )

    def is_near(self, hit: Hit) -> bool:
        """Return True where the name is that of a grade that is only near."""
        return hit.via in self._answers[hit.row].near_names

    def _is_one_metal(self, grades: frozenset[str], materials: tuple[str, ...]) -> bool:
        """Return True where metal and thing are of one base: wheel weights are lead, whichever is meant."""
        return (
            len({answer.base for answer in self._answers if answer.grade_id in grades.union(materials)}) == 1
        )

    def _changed_over(self, text: str, meaning: Meaning) -> list[str]:
        """Return what a bare number may be a slip for: "340" is short for C34000, and 304 changed over."""
        number = text.strip()
        if not number.isdecimal() or any(hit.score > _SHORT_SCORE for hit in meaning.hits):
            return []
        return list(self._slips.one_swap_away(number))

    def _offered(self, meaning: Meaning) -> list[str]:
        """Return what to call the grades of a meaning in a question."""
        grades = [hit for hit in meaning.hits if hit.row < self._tables.first_material]
        if len(grades) == 1:
            return [self._answers[grades[0].row].grade_id]
        families = dict.fromkeys(self._answers[hit.row].family for hit in grades)
        return list(families)[:2]


def _called(meaning: Meaning) -> str:
    """Return what to call a meaning; of a thing also the metal that it usually is."""
    is_told = meaning.is_usual and not meaning.ask and meaning.offers
    return f"{meaning.label}, usually {' or '.join(meaning.offers)}" if is_told else meaning.label
