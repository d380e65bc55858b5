"""Both looks can be read: every text stands out from what it is written on."""

from __future__ import annotations

from dataclasses import asdict

import pytest
from PySide6.QtGui import QColor, QFontDatabase, QPalette, QPixmap
from PySide6.QtWidgets import QApplication, QLineEdit, QPushButton, QVBoxLayout, QWidget
from pytestqt.qtbot import QtBot

from desk.base import paths
from desk.windows.theme import themes, tokens
from desk.windows.theme.themes import palette_of
from desk.windows.theme.tokens import LOOKS, Theme


def contrast(text: str, ground: str) -> float:
    """Return the contrast ratio of two colours, 1 to 21.

    Source:
        WCAG 2.2, "contrast ratio" and "relative luminance".
    """
    lighter, darker = sorted((_luminance(text), _luminance(ground)), reverse=True)
    return (lighter + 0.05) / (darker + 0.05)


def _luminance(colour: str) -> float:
    def linear(share: float) -> float:
        return share / 12.92 if share <= 0.04045 else ((share + 0.055) / 1.055) ** 2.4

    seen = QColor(colour)
    red, green, blue = (linear(part) for part in (seen.redF(), seen.greenF(), seen.blueF()))
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def test_contrast_is_that_of_the_published_examples() -> None:
    """WCAG 2.2: black on white is 21:1; #767676 on white is the grey that just passes 4.5:1."""
    assert contrast("#000000", "#ffffff") == pytest.approx(21)
    assert contrast("#767676", "#ffffff") == pytest.approx(4.54, abs=0.01)
    assert contrast("#777777", "#ffffff") < 4.5


@pytest.mark.parametrize("look", LOOKS.values(), ids=LOOKS)
def test_every_text_can_be_read(look: Theme) -> None:
    for what, (text, ground) in look.pairs().items():
        assert contrast(text, ground) >= 4.5, what


@pytest.mark.parametrize("look", LOOKS.values(), ids=LOOKS)
def test_the_palette_holds_what_was_measured(look: Theme) -> None:
    """Roles that write text, each with the role it is written on; disabled text included."""
    role, group = QPalette.ColorRole, QPalette.ColorGroup
    palette = palette_of(look)
    for kind in (group.Active, group.Inactive, group.Disabled):
        for text, ground in (
            (role.WindowText, role.Window),
            (role.Text, role.Base),
            (role.Text, role.AlternateBase),
            (role.ButtonText, role.Button),
            (role.PlaceholderText, role.Base),
            (role.HighlightedText, role.Highlight),
            (role.ToolTipText, role.ToolTipBase),
            (role.Link, role.Base),
            (role.LinkVisited, role.Base),
        ):
            pair = palette.color(kind, text).name(), palette.color(kind, ground).name()
            assert contrast(*pair) >= 4.5, (kind, text)


@pytest.mark.parametrize("look", LOOKS.values(), ids=LOOKS)
def test_edges_and_the_ring_of_focus_can_be_seen(look: Theme) -> None:
    """WCAG 2.2, 1.4.11: what shows a control stands at 3:1; so does the ring from the edge.

    The ring is in the colour of text; on a filled button it stands inside, in that of its text.
    """
    for ground in (look.ground, look.surface):
        assert contrast(look.edge, ground) >= 3
        assert contrast(look.text, ground) >= 3
        assert contrast(look.act, ground) >= 3
    assert contrast(look.text, look.edge) >= 3
    assert contrast(look.on_act, look.act) >= 3


def test_the_page_of_danger_can_be_read() -> None:
    assert contrast(tokens.ON_STOP, tokens.STOP) >= 7


@pytest.mark.parametrize("look", LOOKS.values(), ids=LOOKS)
def test_no_colour_means_two_things(look: Theme) -> None:
    colours = asdict(look)
    told = [colours[name] for name in ("text", "quiet", "act", "danger", "caution", "done")]
    assert len(set(told)) == len(told)
    grounds = [colours[name] for name in colours if name.endswith("_soft")]
    assert len(set(grounds)) == len(grounds)


@pytest.mark.parametrize("look", LOOKS.values(), ids=LOOKS)
def test_targets_are_large_enough(qtbot: QtBot, qapp: QApplication, look: Theme) -> None:
    themes.wear(qapp, look)
    window = QWidget()
    qtbot.addWidget(window)
    column = QVBoxLayout(window)
    controls = [QPushButton("Book"), QLineEdit()]
    for control in controls:
        column.addWidget(control)
    window.show()
    try:
        for control in controls:
            assert control.height() >= tokens.TARGET
    finally:
        themes.wear(qapp, tokens.DAY)


def test_the_bundled_font_is_the_one_in_use(qapp: QApplication) -> None:
    assert set(themes.FAMILIES) <= set(QFontDatabase.families())
    assert tuple(qapp.font().families()) == themes.FAMILIES


def test_a_system_that_writes_larger_is_followed_until_a_size_is_chosen(
    qapp: QApplication, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(themes, "_CUSTOMARY_POINTS", 11.0)
    monkeypatch.setattr(themes, "_system_points", lambda: 14.0)
    themes.choose_text_size(None)
    try:
        assert themes.text_size() == 130
        themes.choose_text_size(115)
        assert themes.text_size() == 115
        themes.wear(qapp, tokens.DAY)
        assert qapp.font().pixelSize() == 16
    finally:
        themes.choose_text_size(None)
        themes.wear(qapp, tokens.DAY, 100)


def test_a_look_that_was_chosen_before_it_had_its_name_is_still_worn() -> None:
    themes.choose("desk")
    try:
        assert themes.chosen_theme() is tokens.DAY
    finally:
        themes.choose(themes.AS_THE_SYSTEM)


@pytest.mark.parametrize("look", LOOKS.values(), ids=LOOKS)
def test_what_drops_down_shows_that_it_does(look: Theme) -> None:
    """The arrow is drawn in the colour of the text that it stands beside."""
    arrow = paths.bundled("resources", "icons", f"choice-{look.name}.svg")
    assert arrow.as_posix() in themes.style_sheet(look)
    assert f'stroke="{look.text}"' in arrow.read_text()
    assert not QPixmap(str(arrow)).isNull()
