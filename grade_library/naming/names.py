"""Look-up of grades by any name that a yard or a certificate uses."""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from grade_library.facts import Claim
from grade_library.grade import Grade
from grade_library.library import GradeLibrary
from grade_library.loading.uncollected import uncollected
from grade_library.naming.name_catalogue import NameCatalogue
from grade_library.naming.name_search import NameSearch
from grade_library.naming.name_tables import NameTables
from grade_library.naming.name_text import LONGEST_NAME, squash
from grade_library.naming.named_claims import NamedClaims
from grade_library.naming.slips import MOST_OFFERS, Slips
from grade_library.naming.trade_words import word_key


@dataclass(frozen=True, slots=True, kw_only=True)
class Match:
    """One grade that a text can mean."""

    grade: Grade
    score: float
    """0..100: 100 for a stated name, from 97 for words and short forms, below for parts and slips."""
    via: str
    """The name that matched."""
    is_exact: bool
    """The text is a name of the grade, prefixes and tempers aside; False where it is only close."""


class NameIndex:
    """Finds the grades of one library by name; build it once, a look-up takes about a millisecond."""

    def __init__(self, library: GradeLibrary) -> None:
        with uncollected():
            materials = library.dictionary.materials
            self._answers = (*library.grades, *(material.as_answer() for material in materials))
            self._tables = NameTables(library)
            catalogue = NameCatalogue(self._tables)
            self._slips = Slips(catalogue, self._answers)
            self._claims = NamedClaims(library, catalogue, self._answers, self._slips)
            self._search = NameSearch(catalogue)

    def resolve(self, text: str) -> Claim | None:
        """Return what a typed name means: one grade, all the grades it can mean, or None.

        Args:
            text: As typed: "304", "aisi 316L 2B", "6061-T6", "yellow brass", "300 series".

        >>> from grade_library.library import load
        >>> index = NameIndex(load())
        >>> index.resolve("6061-T6").label, len(index.resolve("6xxx").grade_ids) > 10, index.resolve("??")
        ('6061', True, None)
        """
        if not squash(text) or len(text) > LONGEST_NAME:
            return None
        if (claim := self.exact(text)) is not None:
            return claim
        meaning = self._slips.guess(text)
        return None if meaning is None else self._claims.claim(text, meaning, is_exact=False)

    def exact(self, text: str) -> Claim | None:
        """Return what a typed name means as it stands or by its system; None where it could only be
        guessed at."""
        if not squash(text) or len(text) > LONGEST_NAME:
            return None
        named = self._claims.named(text)
        return (
            self._claims.by_system(text) if named is None else self._claims.claim(text, named, is_exact=True)
        )

    def has(self, text: str) -> bool:
        """Return True where the text is a name or word of the dictionary just as it stands."""
        return word_key(text) in self._tables.words or squash(text) in self._tables.names

    def find(self, text: str, limit: int = 8) -> tuple[Match, ...]:
        """Return the grades that a text can mean, best first; equal scores go by the shorter name, then id.

        Args:
            text: As typed, complete or not.
            limit: At most so many.

        >>> from grade_library.library import load
        >>> [match.grade.grade_id for match in NameIndex(load()).find("en aw 6082 t6", limit=1)]
        ['6082']
        """
        if not squash(text) or len(text) > LONGEST_NAME or limit < 1:
            return ()
        named = self._claims.named(text)
        best = {hit.row: (hit, True) for hit in (named.hits if named else ())}
        for tier in self._search.tiers(text):
            if len(best) >= limit:
                break
            for hit in tier:
                if hit.row not in best or (hit.score > best[hit.row][0].score and not best[hit.row][1]):
                    best[hit.row] = (hit, False)
        ranked = sorted(best.values(), key=lambda found: (-found[0].score, len(found[0].via), found[0].row))
        return tuple(
            Match(
                grade=self._answers[hit.row],
                score=hit.score,
                via=hit.via,
                is_exact=is_exact,
            )
            for hit, is_exact in ranked[:limit]
        )

    def complete(
        self, prefix: str, limit: int = 20, often: Mapping[str, float] = MappingProxyType({})
    ) -> tuple[str, ...]:
        """Return names and trade words that begin so, as `NameSearch.complete` does."""
        return self._search.complete(prefix, limit, often)

    def near(self, text: str, limit: int = MOST_OFFERS) -> tuple[str, ...]:
        """Return names that the text may be a slip of, as `Slips.near` does."""
        return self._slips.near(text, limit)
