"""What the menu calls a step that changed one field of a mark."""

from PySide6.QtCore import QCoreApplication


def step_words(field: str) -> str:
    """Return the words for a change of a field of ``LeakMark``, with a place for the number."""

    def tr(text: str) -> str:
        return QCoreApplication.translate("step_words", text)

    return {
        "source_px": tr("Place source of leak %d"),
        "outline_px": tr("Outline leak %d"),
        "fluid": tr("Set fluid of leak %d"),
        "has_hanging_drop": tr("Set hanging drop of leak %d"),
        "do_drops_fall": tr("Note drops of leak %d"),
        "is_stream": tr("Note the stream of leak %d"),
        "drop_edge_mm": tr("Set the edge of leak %d"),
        "pool_mm": tr("Set the pool of leak %d"),
        "wet_for_min": tr("Set the time of leak %d"),
        "drops_per_minute": tr("Count drops of leak %d"),
        "did_reappear": tr("Note wiping of leak %d"),
        "reappears_after_min": tr("Note wiping of leak %d"),
        "note": tr("Note on leak %d"),
    }[field]
