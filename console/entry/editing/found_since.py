"""What a line says of the metal, brought up to date with what was found since."""

from console.entry.parsed import ParsedLine, Token
from console.entry.token_kind import KEPT, TokenKind

NOT_THE_METAL = frozenset(
    {
        TokenKind.WEIGHT,
        TokenKind.SCALE,
        TokenKind.COUNT,
        TokenKind.NOTE,
        TokenKind.BAY,
        TokenKind.HOLD,
    }
)
"""Words of a line that say nothing of the metal."""
_READ = frozenset({TokenKind.READING, TokenKind.SHOT, TokenKind.TECHNIQUE})
_ONE_OF_A_KIND = frozenset(
    {
        TokenKind.CLAIM,
        TokenKind.MAGNET,
        TokenKind.COLOUR,
        TokenKind.SCRATCH,
        TokenKind.HEFT,
        TokenKind.FORM,
        TokenKind.SURFACE,
        TokenKind.SPARK,
        TokenKind.DENSITY,
        TokenKind.CONDUCTIVITY,
    }
)
"""What is found anew of these holds from now on: a cleaned piece is painted no more."""


def with_findings(before: ParsedLine, found: ParsedLine) -> str:
    """Return the words of the metal of a line, then those of the findings.

    What the findings say holds instead of what the line said of the same: a surface, a name, a colour, and a
    reading unless "/" begins it as a further shot.

    Args:
        before: The line as the piece was entered.
        found: The findings, with any weight before them.
    """
    kinds = {token.kind for token in found.tokens}
    read = [token.kind for token in found.tokens if token.kind in (TokenKind.READING, TokenKind.SHOT)]
    replaced = kinds & _ONE_OF_A_KIND
    if read and read[0] is TokenKind.READING:
        replaced |= _READ
    kept = [token for token in before.tokens if _is_of_the_metal(token) and token.kind not in replaced]
    new = [token for token in found.tokens if token.kind is not TokenKind.WEIGHT]
    return " ".join(token.text for token in (*kept, *new))


def _is_of_the_metal(token: Token) -> bool:
    """Tell whether a word counts beside findings; one that was kept as a note names nothing."""
    return token.kind not in NOT_THE_METAL and token.meaning != KEPT
