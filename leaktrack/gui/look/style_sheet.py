"""The shapes of controls: borders, paddings and focus rings, with colours that are passed in."""

from collections.abc import Mapping
from pathlib import Path
from string import Template

_SHEET = Template("""
QWidget { selection-background-color: $accent; selection-color: $on_accent; }
QToolTip { background: $raised; color: $text; border: 1px solid $border; padding: 4px; }
QLabel[tone="quiet"] { color: $quiet; }
QLabel[tone="attention"] { color: $attention; }
QLabel[tone="problem"] { color: $problem; }
QLabel[tone="good"] { color: $good; }
QLabel[ring="true"] { border: ${ring}px solid transparent; }
QLabel[ring="true"]:focus { border-color: $accent; }

QFrame[card="true"] { background: $base; border: 1px solid $hairline; border-radius: 6px; }
QFrame[card="attention"] {
  background: $attention_soft; border: 1px solid $attention; border-radius: 6px;
}
QFrame[card="news"] { background: $accent_soft; border: 1px solid $accent; border-radius: 6px; }
QFrame[rule="true"] { background: $hairline; border: none; }

QPushButton, QToolButton {
  background: $raised; border: 1px solid $border; border-radius: 5px;
  margin: 1px; padding: 3px 10px; min-height: ${inner}px;
}
QPushButton, QToolButton, QTabBar { icon-size: ${icon}px; }
QToolButton { padding: 3px 6px; min-width: ${inner}px; }
QPushButton:hover, QToolButton:hover { background: $accent_soft; }
QPushButton:pressed, QToolButton:pressed { background: $hairline; }
QPushButton:checked, QToolButton:checked {
  background: $accent_soft; border-color: $accent; font-weight: bold;
}
QPushButton:disabled, QToolButton:disabled {
  color: $border; background: transparent; border-color: $hairline;
}
QPushButton[primary="true"] { background: $accent; color: $on_accent; border-color: $accent; }
QPushButton[primary="true"]:hover { background: $text; color: $window; }
QPushButton[primary="true"]:disabled {
  background: transparent; color: $border; border-color: $hairline;
}
QToolButton[quiet="true"], QPushButton[quiet="true"] {
  background: transparent; border-color: transparent;
}
QToolButton[quiet="true"]:hover, QPushButton[quiet="true"]:hover { background: $accent_soft; }
QToolButton[quiet="true"]:checked { background: $accent_soft; border-color: $accent; }
QToolButton[popupMode="2"], QToolButton[popupMode="1"] { padding-right: 18px; }
QPushButton:focus, QToolButton:focus, QPushButton[primary="true"]:focus,
QToolButton[quiet="true"]:focus, QPushButton[quiet="true"]:focus {
  border: ${ring}px solid $accent; margin: 0px;
}
QPushButton[primary="true"]:focus { border-color: $text; }

QLineEdit, QPlainTextEdit, QTextEdit, QAbstractSpinBox, QComboBox {
  background: $base; border: 1px solid $border; border-radius: 4px; margin: 1px; padding: 2px 6px;
}
QLineEdit, QAbstractSpinBox, QComboBox { min-height: ${inner}px; }
QLineEdit:focus, QPlainTextEdit:focus, QTextEdit:focus, QAbstractSpinBox:focus, QComboBox:focus {
  border: ${ring}px solid $accent; margin: 0px;
}
QLineEdit:disabled, QPlainTextEdit:disabled, QAbstractSpinBox:disabled, QComboBox:disabled {
  color: $border; border-color: $hairline; background: transparent;
}
QAbstractSpinBox::up-button, QAbstractSpinBox::down-button, QComboBox::drop-down {
  border: none; background: transparent; width: ${arrow}px;
}
QAbstractSpinBox::up-button { subcontrol-origin: padding; subcontrol-position: top right; }
QAbstractSpinBox::down-button { subcontrol-origin: padding; subcontrol-position: bottom right; }
QAbstractSpinBox::up-button:hover, QAbstractSpinBox::down-button:hover,
QComboBox::drop-down:hover { background: $accent_soft; }
QAbstractSpinBox::up-arrow { image: url("$icon_up"); width: 10px; height: 10px; }
QAbstractSpinBox::down-arrow { image: url("$icon_down"); width: 10px; height: 10px; }
QComboBox::down-arrow { image: url("$icon_down"); width: 12px; height: 12px; }
QComboBox QAbstractItemView { background: $base; border: 1px solid $border; }
QAbstractSpinBox QLineEdit, QComboBox QLineEdit {
  border: none; margin: 0; min-height: 0; padding: 0 4px;
}

QCheckBox, QRadioButton {
  border: ${ring}px solid transparent; border-radius: 4px; padding: 1px; min-height: ${tick_row}px;
}
QCheckBox:focus, QRadioButton:focus { border-color: $accent; }
QCheckBox:disabled, QRadioButton:disabled { color: $border; }
QCheckBox::indicator, QRadioButton::indicator, QAbstractItemView::indicator, QMenu::indicator,
QGroupBox::indicator {
  width: ${tick}px; height: ${tick}px; border: 1px solid $border; background: $base;
  border-radius: 3px;
}
QRadioButton::indicator { border-radius: ${half_tick}px; }
QCheckBox::indicator:hover, QRadioButton::indicator:hover { background: $accent_soft; }
QCheckBox::indicator:checked, QAbstractItemView::indicator:checked, QMenu::indicator:checked,
QGroupBox::indicator:checked {
  background: $accent; border-color: $accent; image: url("$icon_ticked");
}
QRadioButton::indicator:checked {
  border: ${dot}px solid $accent; background: $on_accent; width: ${hole}px; height: ${hole}px;
}
QCheckBox::indicator:indeterminate { background: $hairline; }
QMenu::indicator { margin-left: 4px; }
QGroupBox {
  border: none; border-top: 1px solid $hairline; margin-top: 0.6em; padding-top: 0.9em;
}
QGroupBox::title {
  subcontrol-origin: margin; left: 0px; padding-right: 8px; color: $quiet; background: $window;
}

QAbstractItemView {
  background: $base; border: 1px solid $hairline; border-radius: 6px; outline: none;
  alternate-background-color: $window;
}
QAbstractItemView:focus, QScrollArea:focus, QGraphicsView:focus, QTextBrowser:focus {
  border: ${ring}px solid $accent;
}
QListView::item, QTreeView::item { min-height: ${inner}px; padding: 3px 4px; }
QAbstractItemView::item:selected { background: $accent_soft; color: $text; }
QAbstractItemView::item:hover:!selected { background: $raised; }
QHeaderView::section {
  background: $window; color: $quiet; border: none; border-bottom: 1px solid $border;
  padding: 4px 6px;
}
QScrollArea { border: ${ring}px solid transparent; background: transparent; }
QScrollArea > QWidget > QWidget { background: transparent; }

QMenuBar { background: $window; }
QMenuBar::item { padding: 4px 10px; background: transparent; }
QMenuBar::item:selected { background: $accent_soft; }
QMenu { background: $base; border: 1px solid $border; padding: 4px; }
QMenu::item { padding: ${menu}px 26px ${menu}px 26px; border-radius: 4px; }
QMenu::item:selected { background: $accent_soft; color: $text; }
QMenu::item:disabled { color: $border; }
QMenu::separator { height: 1px; background: $hairline; margin: 4px 8px; }

QTabBar::tab {
  background: transparent; border: none; border-bottom: 3px solid transparent;
  padding: 4px 10px; min-height: ${inner}px; color: $quiet;
}
QTabBar::tab:selected { border-bottom-color: $accent; color: $text; }
QTabBar::tab:hover { background: $accent_soft; }
QTabBar::tab:focus { color: $text; border: ${ring}px solid $accent; }
QTabWidget::pane { border: none; border-top: 1px solid $hairline; }

QSlider { min-height: ${target}px; border: ${ring}px solid transparent; border-radius: 4px; }
QSlider:focus { border-color: $accent; }
QSlider::groove:horizontal { height: 4px; background: $border; border-radius: 2px; }
QSlider::sub-page:horizontal { background: $accent; border-radius: 2px; }
QSlider::handle:horizontal {
  background: $accent; border: 2px solid $base; width: ${knob}px; height: ${knob}px;
  margin: -${knob_margin}px 0; border-radius: ${knob_radius}px;
}
QSlider::handle:horizontal:disabled, QSlider::sub-page:horizontal:disabled {
  background: $hairline;
}

QProgressBar {
  background: $raised; border: 1px solid $border; border-radius: 4px; text-align: center;
  min-height: 16px; color: $text;
}
QProgressBar::chunk { background: $accent_soft; border-radius: 3px; }
QScrollBar { background: transparent; border: none; }
QScrollBar:vertical { width: ${bar}px; margin: 0; }
QScrollBar:horizontal { height: ${bar}px; margin: 0; }
QScrollBar::handle { background: $border; border: none; border-radius: 3px; }
QScrollBar::handle:vertical { min-height: 32px; margin: 2px ${bar_side}px; }
QScrollBar::handle:horizontal { min-width: 32px; margin: ${bar_side}px 2px; }
QScrollBar::handle:hover { background: $accent; }
QScrollBar::add-line, QScrollBar::sub-line { width: 0; height: 0; border: none; }
QScrollBar::add-page, QScrollBar::sub-page { background: transparent; }
QToolButton::menu-indicator {
  image: url("$icon_down"); width: 11px; height: 11px;
  subcontrol-origin: padding; subcontrol-position: center right; right: 4px;
}
QSplitter::handle { background: transparent; }
QSplitter::handle:hover { background: $accent_soft; }
QSplitter::handle:horizontal { width: 8px; }
QSplitter::handle:vertical { height: 8px; border-bottom: 1px solid $hairline; }
QStatusBar::item { border: none; }
""")


def style_sheet(
    colors: Mapping[str, str], icons: Mapping[str, Path], target_px: int, line_px: int, ring_px: int
) -> str:
    """Return the program's style sheet.

    Args:
        colors: Hex colours by purpose, named as in the template.
        icons: Files of the drawings for "up", "down" and "ticked".
        target_px: Smallest side of anything to be hit.
        line_px: Height of a line of text.
        ring_px: Width of focus rings.
    """
    # A control is its inner height, its padding of 3 px and its border of 1 px, above and below.
    tick_px = 14 if target_px < 40 else 24
    dot_px = tick_px // 3
    return _SHEET.substitute(
        colors,
        inner=target_px - 8,
        menu=max(4, (target_px - 20) // 2),
        ring=ring_px,
        icon=max(16, line_px),
        arrow=max(18, target_px // 2),
        bar=12 if target_px < 40 else 22,
        bar_side=3 if target_px < 40 else 7,
        tick=tick_px,
        tick_row=target_px - 6,
        half_tick=tick_px // 2 + 1,
        dot=dot_px,
        hole=tick_px + 2 - 2 * dot_px,
        target=target_px,
        knob=tick_px,
        knob_margin=tick_px // 2,
        knob_radius=tick_px // 2 + 2,
        **{f"icon_{name}": path.as_posix() for name, path in icons.items()},
    )
