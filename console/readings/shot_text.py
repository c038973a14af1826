"""Shots that came from elsewhere, as a sorter would have typed them: text for the entry line."""

from collections.abc import Sequence

from grade_library.facts import Reading, Shot


def shots_as_line(shots: Sequence[Shot], usual_technique: str) -> str:
    """Return shots as entry-line text that parses to the same shots; empty where there is none.

    Args:
        shots: All by one technique, in the order taken.
        usual_technique: Technique of a line that names none; another one is named at the end.

    Raises:
        ValueError: The shots are by several techniques, which no line can say.

    >>> from grade_library.facts import Reading, Shot
    >>> plated = Shot(reading=Reading(values={"Ni": 82.0, "Cr": 17.0}, below={"Pb": 0.02}))
    >>> core = Shot(reading=Reading(values={"Cu": 61.25, "Zn": 36.0}), is_ground=True)
    >>> shots_as_line([plated, core], "xrf")
    'ni=82 cr=17 pb<0.02 // cu=61.25 zn=36'
    """
    techniques = dict.fromkeys(shot.reading.technique for shot in shots)
    if len(techniques) > 1:
        raise ValueError(f"shots by {', '.join(techniques)}: a line holds those of one technique")
    words: list[str] = []
    for number, shot in enumerate(shots):
        if shot.is_ground:
            words.append("//")
        elif number:
            words.append("/")
        words += _values(shot.reading)
    words += [technique for technique in techniques if technique != usual_technique]
    return " ".join(words)


def _values(reading: Reading) -> list[str]:
    """Return element by element, the largest first; `=` keeps "s=7" from being taken for anything else."""
    values = sorted(reading.values.items(), key=lambda item: (-item[1], item[0]))
    words = []
    for symbol, value in values:
        spread = f"+-{number_text(reading.sigma[symbol])}" if symbol in reading.sigma else ""
        words.append(f"{symbol.casefold()}={number_text(value)}{spread}")
    return words + [
        f"{symbol.casefold()}<{number_text(limit)}" for symbol, limit in sorted(reading.below.items())
    ]


def number_text(value: float) -> str:
    """Return a figure without exponent and needless zeros, to a millionth (of a percent, for a reading).

    >>> number_text(0.05), number_text(18.0)
    ('0.05', '18')
    """
    return f"{value:.6f}".rstrip("0").rstrip(".")
