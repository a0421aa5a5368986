"""The user's choices: units, appearance, text size, gloves mode, paper, room for the cache."""

from dataclasses import replace

from PySide6.QtWidgets import (
    QCheckBox,
    QComboBox,
    QDialog,
    QDialogButtonBox,
    QDoubleSpinBox,
    QFormLayout,
    QSpinBox,
    QVBoxLayout,
    QWidget,
)

from leaktrack.gui.forms.grade_limit_fields import GradeLimitFields
from leaktrack.gui.look.panels import TonedLabel, push_button
from leaktrack.gui.look.theme import GAP, GAP_L, GAP_S
from leaktrack.model.words import size_words
from leaktrack.places import cache_folder
from leaktrack.settings import LEAST_CACHE_MB, MOST_CACHE_MB, Settings
from leaktrack.workflows.bound_cache import cache_bytes, clear_cache

SMALLEST_TEXT_PERCENT = 100
LARGEST_TEXT_PERCENT = 200
TEXT_STEP_PERCENT = 10


class SettingsDialog(QDialog):
    """Asks for the user's choices."""

    def __init__(self, settings: Settings, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setWindowTitle(self.tr("Settings"))
        self._settings = settings
        self._units = _choice(
            {"metric": self.tr("mm, °C, N·m"), "imperial": self.tr("inch, °F, lbf·ft")},
            settings.units,
        )
        self._theme = _choice(
            {
                "system": self.tr("like the system"),
                "light": self.tr("light"),
                "dark": self.tr("dark"),
            },
            settings.theme,
        )
        self._text = QSpinBox()
        self._text.setRange(SMALLEST_TEXT_PERCENT, LARGEST_TEXT_PERCENT)
        self._text.setSingleStep(TEXT_STEP_PERCENT)
        self._text.setSuffix(" %")
        self._text.setValue(settings.text_percent)
        self._gloves = QCheckBox(self.tr("&Gloves mode: large targets"))
        self._gloves.setChecked(settings.gloves_mode)
        self._paper = _choice({"A4": "A4", "Letter": "Letter"}, settings.paper)
        self._limits = GradeLimitFields(settings)
        self._cache = QDoubleSpinBox()
        self._cache.setRange(LEAST_CACHE_MB / 1000, MOST_CACHE_MB / 1000)
        self._cache.setDecimals(1)
        self._cache.setSuffix(" GB")
        self._cache.setValue(settings.cache_mb / 1000)
        self._cache_size = TonedLabel()
        self.clear_button = push_button(self.tr("C&lear now"), self._on_clear)
        self.clear_button.setAccessibleName(self.tr("Clear the cache now"))
        for box in (self._text, self._cache, *self._limits.boxes):
            box.lineEdit().setTextMargins(GAP_S, 0, 0, 0)  # as in the lists above and below
        self._build_layout()
        self._say_cache(0)

    @classmethod
    def ask(cls, settings: Settings, parent: QWidget | None = None) -> Settings | None:
        """Return the settings as chosen; None if the person changed their mind."""
        dialog = cls(settings, parent)
        return dialog.chosen() if dialog.exec() else None

    def chosen(self) -> Settings:
        """Return the settings as the fields stand."""
        return replace(
            self._settings,
            units=self._units.currentData(),
            theme=self._theme.currentData(),
            text_percent=self._text.value(),
            gloves_mode=self._gloves.isChecked(),
            paper=self._paper.currentData(),
            heavy_seep_mm=self._limits.heavy_seep_mm,
            at_once_min=self._limits.at_once_min,
            cache_mb=round(1000 * self._cache.value()),
        )

    @property
    def says_of_cache(self) -> str:
        """How much room the cache takes."""
        return self._cache_size.text()

    def _on_clear(self) -> None:
        self._say_cache(clear_cache(cache_folder()))

    def _say_cache(self, cleared: int) -> None:
        now = self.tr("The cache takes %s now.") % size_words(cache_bytes(cache_folder()))
        words = [now, self.tr("It costs nothing but time to compute it again.")]
        if cleared:
            words.insert(0, self.tr("%s were cleared.") % size_words(cleared))
        self._cache_size.setText(" ".join(words))

    def _build_layout(self) -> None:
        form = QFormLayout()
        form.setVerticalSpacing(GAP)
        form.setHorizontalSpacing(GAP_L)
        form.addRow(self.tr("&Units"), self._units)
        form.addRow(self.tr("&Appearance"), self._theme)
        form.addRow(self.tr("&Text size"), self._text)
        form.addRow("", self._gloves)
        form.addRow(self.tr("&Paper of reports"), self._paper)
        self._limits.add_to(form)
        form.addRow(self.tr("&Room for the cache"), self._cache)
        form.addRow("", self.clear_button)
        buttons = QDialogButtonBox()
        keep = buttons.addButton(self.tr("&Keep settings"), QDialogButtonBox.ButtonRole.AcceptRole)
        keep.setProperty("primary", "true")
        keep.setDefault(True)
        buttons.addButton(self.tr("&Cancel"), QDialogButtonBox.ButtonRole.RejectRole)
        buttons.accepted.connect(self.accept)
        buttons.rejected.connect(self.reject)
        rows = QVBoxLayout(self)
        rows.setContentsMargins(GAP_L, GAP_L, GAP_L, GAP_L)
        rows.setSpacing(GAP_L)
        rows.addLayout(form)
        rows.addWidget(self._cache_size)
        rows.addWidget(TonedLabel(self.tr("Records keep SI units whatever you see here.")))
        rows.addWidget(buttons)


def _choice(words: dict[str, str], chosen: str) -> QComboBox:
    box = QComboBox()
    for value, text in words.items():
        box.addItem(text, value)
    box.setCurrentIndex(max(box.findData(chosen), 0))
    return box
