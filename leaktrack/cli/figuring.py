"""The command that reckons: grades with their rules, drops, the oil account, crankcase pressure."""

from argparse import Namespace
from math import isinf
from typing import Any

from leaktrack import places
from leaktrack.cli import choosing
from leaktrack.cli.printing import ProgressLine, note, say, say_json
from leaktrack.cli.telling import inspection_words
from leaktrack.model.between import Between
from leaktrack.model.drip import DripOutlook
from leaktrack.model.errors import BadInput
from leaktrack.model.grade_card import GradeCard
from leaktrack.model.grade_card_words import card_words
from leaktrack.model.leak import Leak, SeepageGrade, wetness
from leaktrack.model.oil_account import OilAccount
from leaktrack.model.oil_words import account_details, account_sentence
from leaktrack.model.pressure import PressureJudgement
from leaktrack.model.severity import FiredRule
from leaktrack.model.severity_words import PRESSURE_ASSUMES, pressure_sentence, rule_words
from leaktrack.model.words import grade_words, word
from leaktrack.settings import read_settings
from leaktrack.workflows.gather_figures import LookFigures, look_figures

Document = dict[str, Any]


def figures(args: Namespace) -> int:
    """Tell what is reckoned of an inspection, with what each figure assumes."""
    settings, complaints = read_settings(places.settings_file())
    for complaint in complaints:
        note(complaint)
    with choosing.opened(args.project) as project:
        engine = choosing.engine(project, args.engine)
        looks = choosing.inspections(project, engine)
        if not looks:
            raise BadInput(f"{engine.name} has no inspection yet. Record one first.")
        look = choosing.inspection(project, engine, args.inspection or "newest")
        with ProgressLine("Measuring") as progress:
            found = look_figures(project, look.id, settings.grade_limits, progress)
    if args.json:
        say_json(figures_document(found))
    else:
        tell_figures(found, settings.units)
    return 0


def tell_figures(found: LookFigures, units: str) -> None:
    """Print what is reckoned of an inspection."""
    say(f"{inspection_words(found.inspection)}:")
    for warning in found.warnings:
        say(word(warning.kind), indent="  ! ")
    if found.pressure is not None:
        say(f"{pressure_sentence(found.pressure, units)} {PRESSURE_ASSUMES}", indent="  ")
    if not found.cards:
        say("No leak was marked.", indent="  ")
    for leak, card in found.cards:
        _tell_card(leak, card, units)
    _tell_account(found, units)


def _tell_card(leak: Leak, card: GradeCard, units: str) -> None:
    words = card_words(card, units)
    say(f"Leak {leak.number}: {grade_words(card.given)}. {words.verdict}")
    for line in (words.proposal, *words.details, *words.amounts):
        say(line, indent="  ")


def _tell_account(found: LookFigures, units: str) -> None:
    if found.account is not None:
        say(account_sentence(found.account, units))
        for line in account_details(found.account, units):
            say(line, indent="  ")
    elif found.account_problem:
        say(f"The oil account could not be drawn up. {found.account_problem}")


def figures_document(found: LookFigures) -> Document:
    """Return the same for scripts, in metric units; bounds that are open are null."""
    return {
        "format": "leaktrack-figures",
        "version": 1,
        "inspection": {
            "id": str(found.inspection.id),
            "looked_at": found.inspection.looked_at.isoformat(),
        },
        "warnings": [
            {"kind": one.kind.value, "sentence": word(one.kind)} for one in found.warnings
        ],
        "pressure": None if found.pressure is None else _pressure(found.pressure),
        "leaks": [_leak(leak, card) for leak, card in found.cards],
        "oil_account": None if found.account is None else _account(found.account),
        "oil_account_problem": found.account_problem or None,
    }


def _pressure(judged: PressureJudgement) -> Document:
    return {
        "state": judged.state.value,
        "mmh2o": judged.mmh2o,
        "sigma_mmh2o": judged.sigma_mmh2o,
        "limit_mmh2o": judged.limit_mmh2o,
        "source": judged.source,
        "assumes": PRESSURE_ASSUMES,
    }


def _leak(leak: Leak, card: GradeCard) -> Document:
    proposal = card.proposal
    return {
        "number": leak.number,
        "grade": _grade(card.given),
        "proposed": _grade(proposal.grade),
        "is_firm": proposal.is_firm,
        "fired": _rule(proposal.fired, card),
        "by_drops": _rule(proposal.by_drops, card),
        "by_extent": _rule(proposal.by_extent, card),
        "by_wiping": _rule(proposal.by_reappearing, card),
        "by_light": _rule(proposal.by_light, card),
        "extent_mm": card.seen.extent_mm,
        "extent_sigma_mm": card.seen.extent_sigma_mm,
        "minutes": card.seen.minutes,
        "verdict": card.judgement.verdict.value,
        "reason": card.judgement.reason,
        "classes": None
        if card.classes is None
        else {
            "iso_tr_11340": card.classes.iso_tr_11340,
            "pmcs": card.classes.pmcs.value if card.classes.pmcs else None,
            "din_3761": [term.value for term in card.classes.din_3761],
        },
        "next_looks": [word(one) for one in proposal.next_looks],
        "pool_ml": _between(card.pool),
        "drops": None if card.outlook is None else _outlook(card.outlook, card),
    }


def _grade(grade: SeepageGrade) -> Document:
    return {"digit": wetness(grade), "word": word(grade)}


def _rule(fired: FiredRule | None, card: GradeCard) -> Document | None:
    if fired is None:
        return None
    return {
        "rule": fired.rule.value,
        "grade": _grade(fired.grade),
        "because": rule_words(fired, card.seen, "metric"),
        "source": fired.source,
    }


def _outlook(outlook: DripOutlook, card: GradeCard) -> Document:
    return {
        "drops_per_minute": outlook.rate.drops_per_minute,
        "edge_mm": outlook.rate.drop.edge_mm,
        "drop_ul": _between(outlook.rate.drop.ul),
        "ml_per_hour": _between(outlook.rate.ml_per_hour),
        "ml_per_day": _between(outlook.ml_per_day),
        "litres_per_100_h": _between(outlook.litres_per_100_h),
        "litres_per_1000_km": _between(outlook.litres_per_1000_km),
        "hours_to_minimum": _between(outlook.hours_to_minimum),
        "assumes": card_words(card, "metric").amounts[-1],
    }


def _account(account: OilAccount) -> Document:
    loss = account.loss
    return {
        "state": account.state.value,
        "sentence": account_sentence(account, "metric"),
        "loss_ml": None if loss is None else loss.ml,
        "loss_sigma_ml": None if loss is None else loss.sigma_ml,
        "is_calibrated": account.is_calibrated,
        "leaks": [
            {"number": one.number, "way": one.way.value, "ml": _between(one.ml)}
            for one in account.leaks
        ],
        "explained_ml": _between(account.explained_ml),
        "share": _between(account.share),
        "details": list(account_details(account, "metric")),
    }


def _between(figure: Between | None) -> Document | None:
    """Return bounds; JSON knows no infinity."""
    if figure is None:
        return None
    return {name: None if isinf(end) else end for name, end in _ends(figure)}


def _ends(figure: Between) -> tuple[tuple[str, float], tuple[str, float]]:
    return ("low", figure.low), ("high", figure.high)
