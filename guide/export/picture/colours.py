"""The colours of the picture of a class, on light and on dark paper.

Nothing is told by a colour alone: sides differ by their half of the lane and their letter, levels by their height,
bells by their shape. Words stand on nothing that has less than 4.5 : 1 to them, and lines that tell something have
3 : 1 to the paper. Source: W3C WCAG 2.2, 1.4.3 "Contrast (Minimum)", 1.4.11 "Non-text Contrast".
"""

from collections.abc import Mapping

from guide.figures.drawing import Tone
from guide.figures.svg import COLOURS, Paper

#: The two sides are two lightnesses of one colour, which a grey print tells apart.
LIGHT = {
    "paper": "#fbfaf6",
    "ink": "#1f2d36",
    "quiet": "#4d5b64",
    "faint": "#d9dedd",
    "lane": "#f5f4ee",
    "even": "#eeede7",
    "hold": "#4f6b7d",
    "move": "#768996",
    "right": "#145a60",
    "left": "#389392",
    "line": "#8a4b1f",
    "area": "#f0ddc8",
    "said": "#6b7d88",
    "bell": "#1f2d36",
    "on-right": "#ffffff",
    "on-left": "#081014",
}
DARK = {
    "paper": "#11181c",
    "ink": "#e8eef0",
    "quiet": "#aebbc1",
    "faint": "#2f3c43",
    "lane": "#182127",
    "even": "#1e282f",
    "hold": "#8aa5b5",
    "move": "#637a88",
    "right": "#237f86",
    "left": "#8fd0ce",
    "line": "#f0b27a",
    "area": "#3b2d20",
    "said": "#8b9da8",
    "bell": "#e8eef0",
    "on-right": "#ffffff",
    "on-left": "#11181c",
}
PALETTES: Mapping[Paper, Mapping[str, str]] = {Paper.LIGHT: LIGHT, Paper.DARK: DARK}


def style(paper: Paper, family: str) -> str:
    """The style sheet of a picture on this paper."""
    c, tones = PALETTES[paper], COLOURS[paper]
    rules = {
        "text": f"font-family:{family}",
        ".strong": "font-weight:bold",
        ".ink": f"fill:{c['ink']}",
        ".quiet": f"fill:{c['quiet']}",
        ".on-right": f"fill:{c['on-right']};font-weight:bold",
        ".on-left": f"fill:{c['on-left']};font-weight:bold",
        ".paper": f"fill:{c['paper']}",
        ".lane": f"fill:{c['lane']}",
        ".even": f"fill:{c['even']}",
        ".hold": f"fill:{c['hold']}",
        ".move": f"fill:{c['move']}",
        ".right": f"fill:{c['right']}",
        ".left": f"fill:{c['left']}",
        ".untold": "fill:url(#untold)",
        ".hatch": f"stroke:{c['quiet']};stroke-width:1;opacity:.45",
        ".grid": f"stroke:{c['faint']};fill:none",
        ".divider": f"stroke:{c['quiet']};fill:none;stroke-dasharray:1 4",
        ".leader": f"stroke:{c['quiet']};fill:none;stroke-width:.8",
        ".axis": f"stroke:{c['quiet']};fill:none",
        ".area": f"fill:{c['area']}",
        ".line": f"stroke:{c['line']};fill:none;stroke-width:2",
        ".said": f"fill:{c['said']}",
        ".bell": f"fill:{c['bell']}",
        ".bell-line": f"stroke:{c['bell']};stroke-width:2",
        ".figure path": f"stroke:{c['paper']};stroke-linejoin:round;paint-order:stroke",
        ".figure .floor,.figure .joined": "stroke:none",
        **{f".figure .{tone.value}": f"fill:{tones[tone]}" for tone in Tone},
    }
    return "\n".join(f".class-picture {name}{{{rule}}}" for name, rule in rules.items())
