"""Draws money lost against minutes spent for each policy, as one SVG that needs nothing else."""

from collections.abc import Mapping

from tests.benchmarks.placing_policies import Outcome

WIDTH, HEIGHT, LEFT, BOTTOM = 640, 400, 80, 60
COLOURS = ("#8c6d2f", "#b0552b", "#5b5140", "#2f6d8c")


def draw(outcomes: Mapping[str, Outcome], perfect: float, currency: str) -> str:
    """Return the picture; near the lower left corner is best: little lost, little time spent."""
    minutes = {name: one.seconds / 60.0 for name, one in outcomes.items()}
    lost = {name: perfect - one.earned for name, one in outcomes.items()}
    most_x, most_y = 1.1 * max(*minutes.values(), 1.0), 1.15 * max(*lost.values(), 1.0)
    parts = [
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{WIDTH}" height="{HEIGHT}" '
        'font-family="sans-serif">',
        f'<rect width="{WIDTH}" height="{HEIGHT}" fill="white"/>',
        f'<path d="M{LEFT} 20V{HEIGHT - BOTTOM}H{WIDTH - 20}" fill="none" stroke="black"/>',
        f'<text x="{WIDTH / 2}" y="{HEIGHT - 15}" font-size="13">'
        "minutes spent on checks and second looks</text>",
        f'<text x="18" y="{HEIGHT / 2 + 60}" font-size="13" '
        f'transform="rotate(-90 18 {HEIGHT / 2 + 60})">money lost [{currency}]</text>',
    ]
    for part in range(1, 5):
        x, y = part * most_x / 4.4, part * most_y / 4.6
        parts.append(_tick(_x(x, most_x), HEIGHT - BOTTOM + 16, f"{x:.0f}", "middle"))
        parts.append(_tick(LEFT - 6, _y(y, most_y) + 4, f"{y:.0f}", "end"))
    for (name, spent), colour in zip(minutes.items(), COLOURS, strict=True):
        x, y = _x(spent, most_x), _y(lost[name], most_y)
        anchor, shift = ("end", -11) if x > 0.7 * WIDTH else ("start", 11)
        parts.append(f'<circle cx="{x:.1f}" cy="{y:.1f}" r="7" fill="{colour}"/>')
        parts.append(
            f'<text x="{x + shift:.1f}" y="{y - 9:.1f}" font-size="13" text-anchor="{anchor}">{name}: '
            f"{lost[name]:.0f} {currency}, {spent:.0f} min</text>"
        )
    return "\n".join([*parts, "</svg>"]) + "\n"


def _tick(x: float, y: float, text: str, anchor: str) -> str:
    return f'<text x="{x:.1f}" y="{y:.1f}" font-size="11" text-anchor="{anchor}">{text}</text>'


def _x(minutes: float, most: float) -> float:
    return LEFT + (WIDTH - LEFT - 20) * minutes / most


def _y(lost: float, most: float) -> float:
    return HEIGHT - BOTTOM - (HEIGHT - BOTTOM - 20) * max(lost, 0.0) / most
