"""The chapters of the job at the window, from an empty project to the report."""

from pathlib import Path

from PySide6.QtWidgets import QAbstractButton, QAbstractItemView, QLabel, QTableView

from leaktrack.gui.main_window import MainWindow
from leaktrack.gui.photo_view import PhotoView
from leaktrack.model.inspection import INSPECTION_FACTS, Inspection
from leaktrack.model.leak import LeakMark
from leaktrack.model.photo import Photo
from leaktrack.places import demo_source
from leaktrack.workflows.project import Project
from tests.story.person import Person

PHOTOS = demo_source() / "photos"
ZONE, JOINT = "Bank 1 cover", "Cover joint"
BASELINE, FIRST_LOOK, SECOND_LOOK = "Before the first run", "After 25 minutes", "After 4 hours"
BEAD_PHOTO = "bank1_cover_bead_b.jpg"
BASELINE_PHOTO, FIRST_PHOTO, SECOND_PHOTO = (f"bank1_cover_i{number}.jpg" for number in range(3))

# Where the joint passes bolts 2 to 10 in the baseline photo, pixels.
JOINT_AT_BOLTS = (
    (84, 840), (339, 835), (568, 830), (792, 826), (1032, 821), (1243, 817), (1470, 813),
    (1695, 808), (1944, 804),
)  # fmt: skip
# Where leak 1 starts in each photo, pixels: truth of the rendering.
SOURCE_AT_BASELINE, SOURCE_AT_FIRST, SOURCE_AT_SECOND = (689, 827), (771, 857), (780, 822)


class Chapters:
    """Each method is one chapter; they are told in their order."""

    def __init__(self, person: Person, window: MainWindow) -> None:
        self.person = person
        self.window = window

    @property
    def project(self) -> Project:
        """The project in the window."""
        assert self.window.workbench is not None
        return self.window.workbench.session.project

    @property
    def steps(self) -> list[str]:
        """What can be taken back, oldest first."""
        assert self.window.workbench is not None
        stack = self.window.workbench.session.undo_stack
        return [stack.text(place) for place in range(stack.index())]

    def begin(self, folder: Path) -> None:
        """Make a new project below a folder."""

        def fill_in(dialog: Person) -> None:
            dialog.type_in("Kept in", str(folder))
            dialog.type_in("Engine", "Bench engine")

        self.person.answer_dialog(lambda: self.person.press("Ctrl+N"), fill_in)
        self.person.wait(lambda: self.window.workbench is not None)

    def describe_the_engine(self) -> None:
        """Add a zone and a joint with eleven bolts."""
        person = self.person
        person.click_row(person.find(QAbstractItemView, "Parts of the engine"), "Bank 1")
        person.click("Add zone")
        person.type_here(ZONE)
        person.click("Add joint")
        person.type_here(JOINT)
        person.type_in("Number of bolts", "11")

    def add_photos(self) -> None:
        """Paste photo files, and say of one that it shows the zone."""
        names = (BASELINE_PHOTO, FIRST_PHOTO, SECOND_PHOTO, BEAD_PHOTO)
        self.person.copy_files(*(PHOTOS / name for name in names))
        self.person.press("Ctrl+3")
        self.person.press("Ctrl+V")
        self.person.wait(lambda: len(self.project.all(Photo)) == len(names))
        self._assign(BASELINE_PHOTO)

    def draw_the_joint(self) -> None:
        """Click the joint bolt by bolt in the baseline photo, which shows bolt 2 first."""
        person = self.person
        person.press("Ctrl+1")
        person.click_row(person.find(QAbstractItemView, "Parts of the engine"), JOINT)
        person.click("Draw joint line")
        person.type_in("First bolt you will click", "2")
        for x, y in JOINT_AT_BOLTS:
            person.click_photo(self._photo_view(), x, y)
        person.click("Line is done")

    def record_the_sealing_job(self) -> None:
        """Record the job of 7 March with the photo of its bead."""
        person = self.person
        person.press("Ctrl+Shift+S")
        person.find(QAbstractButton, "Choose from the project…")
        person.type_in("Done", "2026-03-07 16:55")

        def take_the_bead(dialog: Person) -> None:
            dialog.click_row(dialog.find(QAbstractItemView, "Photos"), BEAD_PHOTO)
            dialog.click("Take this photo")

        person.answer_dialog(lambda: person.click("Choose from the project…"), take_the_bead)

    def inspect_before_the_first_run(self) -> None:
        """Record a baseline; nobody noted the rest."""
        self.person.press("Ctrl+Shift+I")
        self._fill_in_inspection(BASELINE, "2026-03-14 10:00")
        self._photo_to_inspection(ZONE)  # how a photo is called once its zone is known

    def run_the_engine(self, started: str, minutes: str) -> None:
        """Record a run and begin the inspection after it."""
        person = self.person
        person.press("Ctrl+Shift+T")
        person.find(QAbstractButton, "Record the inspection after it")
        person.type_in("Started", started)
        person.type_in("Minutes run (min)", minutes)
        person.click("Nobody knows any of these")
        person.click("Record the inspection after it")
        person.click(f"{len(INSPECTION_FACTS)} facts missing…")

    def inspect_after_the_first_run(self) -> None:
        """Mark leak 1 where it starts, and grade it."""
        self._fill_in_inspection(FIRST_LOOK, "2026-03-21 15:30")
        self._photo_to_inspection(FIRST_PHOTO)
        self._show_look(FIRST_LOOK)
        self._mark(SOURCE_AT_FIRST, "2")
        self.person.on("Inspect").choose("Joint", JOINT)

    def look_again_at_the_baseline(self) -> None:
        """Say of the baseline that this place was dry: the leak is new."""
        self._show_look(BASELINE)
        self._mark(SOURCE_AT_BASELINE, "0")
        self.person.on("Inspect").choose("Leak", f"1, {ZONE}")

    def inspect_after_the_second_run(self) -> str:
        """Grade the leak where the program proposes it; return what is said of the proposal."""
        self._fill_in_inspection(SECOND_LOOK, "2026-04-04 16:05")
        self._photo_to_inspection(SECOND_PHOTO)
        self._show_look(SECOND_LOOK)
        marks = self.person.find(QAbstractItemView, "Marks in this photo")
        self.person.click_row(marks, "1")
        said = " ".join(self._labels())
        marks.setFocus()
        self.person.press("3")
        return said

    def compare_the_last_two(self) -> list[str]:
        """Compare with one key; return what the table says of the leak."""
        self.person.press("Ctrl+K")
        table = next(each for each in self.window.findChildren(QTableView) if each.isVisible())
        model = table.model()
        return [str(model.index(0, column).data()) for column in range(model.columnCount())]

    def trace_the_leak(self) -> list[str]:
        """Show what may have caused it; return what is said."""
        self.person.press("Ctrl+8")
        self.person.find(QAbstractButton, f"Confirm: {JOINT}")
        return self._labels()

    def confirm_the_cause(self, reason: str) -> None:
        """Press Confirm, which asks for a reason, and give it."""
        self.person.type_in(f"Reason for your verdict, {JOINT}", reason)
        self.person.click(f"Confirm: {JOINT}")

    def plan_the_redo(self) -> list[str]:
        """Write the task that the verdict asks for and keep the plan; return what is said."""
        person = self.person
        person.press("Ctrl+9")
        person.click(f"Write a task: Seal again: {JOINT}")
        person.type_in("Work (h)", "1.5")
        person.click("Back to the list")
        person.wait(person.find(QAbstractButton, "Keep this plan").isEnabled)
        person.wait(lambda: any("more now" in text for text in self._labels()))
        said = self._labels()
        person.click("Keep this plan")
        return said

    def write_the_report(self) -> Path:
        """Write the report; return its folder."""
        self.person.press("Ctrl+0")
        self.person.click("Write report")
        self.person.find(QAbstractButton, "Open the PDF")
        return self.project.folder / "report"

    def undo_everything(self) -> None:
        """Press Ctrl+Z until nothing is left to take back."""
        for _ in self.steps:
            self.person.press("Ctrl+Z")

    def redo_everything(self, steps: int) -> None:
        """Press the keys for redo as often."""
        for _ in range(steps):
            self.person.press("Ctrl+Shift+Z")

    def _fill_in_inspection(self, title: str, looked_at: str) -> None:
        person = self.person
        person.find(QAbstractButton, "Back to the photos")
        person.type_in("Title", title)
        person.type_in("Looked at", looked_at)
        person.click("Nobody knows any of these")
        person.click("Back to the photos")

    def _photo_to_inspection(self, name: str) -> None:
        """Put a photo where its date belongs, and say which zone it shows."""
        self.person.press("Ctrl+3")
        self._assign(name)

    def _assign(self, name: str) -> None:
        """Select a photo and assign it; the inspection of its date is chosen already."""
        person = self.person
        person.click_row(person.find(QAbstractItemView, "Photos"), name)
        person.choose("Zone that the photos show", ZONE)
        person.click("Assign")

    def _show_look(self, title: str) -> None:
        inspection = next(each for each in self.project.all(Inspection) if each.title == title)
        (photo,) = self.project.all(Photo, inspection_id=inspection.id)
        self.person.click_row(self.person.find(QAbstractItemView, "Logbook"), title)
        self.person.press("Ctrl+6")
        view = self._photo_view()
        self.person.wait(lambda: view.photo_id == photo.id)

    def _mark(self, source: tuple[int, int], grade_key: str) -> None:
        before = len(self.project.all(LeakMark))
        view = self._photo_view()
        view.setFocus()
        self.person.press("L")
        self.person.click_photo(view, *source)
        self.person.wait(lambda: len(self.project.all(LeakMark)) == before + 1)
        self.person.press(grade_key)

    def _photo_view(self) -> PhotoView:
        return next(each for each in self.window.findChildren(PhotoView) if each.isVisible())

    def _labels(self) -> list[str]:
        return [each.text() for each in self.window.findChildren(QLabel) if each.isVisible()]
