"""Pictures of every window in one look and one scale: ``python -m tests.window_shots FOLDER LOOK``.

Run by `tests.shots` in a process of its own for each scale, since Qt reads the scale at start.
"""

from __future__ import annotations

import itertools
import os
import sys
import tempfile
import uuid
from collections.abc import Callable
from datetime import timedelta
from pathlib import Path

import sqlalchemy as sa
from PySide6.QtCore import QSettings
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QWidget

from desk.base.pictures import photograph_of
from desk.base.texts import message
from desk.records.actions.photographs import AddPhotographs, DescribePhotograph
from desk.records.actions.shop import MendShop, SeeShop
from desk.records.fields import appliance_fields, person_fields
from desk.records.fields.call_fields import CallDetails
from desk.records.fields.customer_fields import CustomerDetails
from desk.records.fields.part_fields import PartDetails
from desk.records.fields.premises_fields import PremisesDetails
from desk.records.office.office import Office
from desk.records.parties import customers, places
from desk.records.stock import parts
from desk.records.tables import Visit
from desk.records.views.visit_sheet import KINDS, Shows
from desk.records.visits import lifecycle
from desk.windows.back_office.charging_form import charging_form
from desk.windows.back_office.first_start import FoundingDialog
from desk.windows.back_office.import_window import BringingInWindow
from desk.windows.back_office.orders_window import OrdersWindow
from desk.windows.back_office.parts_usage_window import UsedWindow
from desk.windows.back_office.parts_window import PartsWindow
from desk.windows.back_office.people_window import PeopleWindow
from desk.windows.back_office.shop_window import ShopWindow
from desk.windows.counter.papers import CounterPapers
from desk.windows.counter.restore_window import WithdrawnWindow
from desk.windows.counter.window import CounterWindow
from desk.windows.documents.reports_window import ReportsWindow
from desk.windows.documents.window import DocumentWindow
from desk.windows.forms.forms import FormDialog
from desk.windows.own_checks.window import OwnChecksWindow
from desk.windows.record import forms, merge_forms, tie_forms
from desk.windows.recurrence.chart import SETTLES_MS, ChartPicture
from desk.windows.recurrence.window import RepeatsWindow
from desk.windows.theme import themes, tokens
from desk.windows.visit.window import VisitWindow
from desk.windows.work.work_queue import InlineQueue
from sample_db.build import build
from sample_db.trial import TrialClock, play
from tests.conftest import FIRST_DAY, SHOP, StillClock
from tests.photographs import photograph_file
from tests.windows.fakes import PreparedPrompts

SIZES = ((1280, 720), (1680, 1050))
STAGES = ("arrive", "small_job", "check", "measure", "repair", "prove", "sign", "photographs")
LONG = "Wolfeschlegelsteinhausenbergerdorff-Papadiamantopoulos & Daughters Property Holdings"
A_DAY = 40
PARTS = 200


class Camera:
    """Takes a picture of a window under a name that tells the case and the size."""

    def __init__(self, folder: Path, case: str) -> None:
        self._folder, self._case = folder, case

    def take(self, window: QWidget, name: str) -> None:
        """Show a window in each size that it may have and save what is seen."""
        for width, height in SIZES:
            window.resize(width, height)
            window.show()
            for _turn in range(3):
                QApplication.processEvents()
            if window.findChild(ChartPicture) is not None:
                QTest.qWait(3 * SETTLES_MS)
            window.grab().save(str(self._folder / f"{self._case}-{name}-{width}x{height}.png"))


def empty_office(place: Path) -> Office:
    """Return an office in which nothing was entered."""
    return Office.create(place, SHOP, now=StillClock())


def usual_office(place: Path) -> Office:
    """Return the sample office with one visit played to its seal."""
    build(place, visits=400, as_of=FIRST_DAY.date())
    clock = TrialClock(FIRST_DAY)
    office = Office.open(place, now=clock)
    play(office, clock, lambda _line: None)
    photograph(office, 5, "Slide of the valve")
    return office


def extreme_office(place: Path) -> Office:
    """Return an office with very long names, forty visits a day and two hundred parts."""
    clock = StillClock()
    office = Office.create(place, SHOP, now=clock)
    office.carry_out(MendShop({"charges": "on", "hourly": "96", "tax_name": LONG, "tax": "8.25"}))
    with office.unit_of_work(message("Entered")) as session:
        technicians = [
            customers.add_person(
                session, person_fields.PersonDetails(f"{LONG} {turn}", is_technician=True)
            )
            for turn in range(5)
        ]
        for turn in range(PARTS):
            parts.add_part(
                session, PartDetails(f"P-{turn:04d}", f"{LONG} gasket {turn}", turn * 97)
            )
    for turn in range(A_DAY):
        with office.unit_of_work(message("Booked")) as session:
            customer = customers.add_customer(
                session,
                CustomerDetails(f"{LONG} {turn}", note="<b>bold?</b> " * 20),
                phones=["212 555 0142"],
            )
            premises = places.add_premises(session, PremisesDetails(f"{turn} {LONG} Lane"))
            session.flush()
            places.link_customer(session, premises, customer, "agent")
            appliance = places.add_appliance(
                session,
                premises,
                appliance_fields.ApplianceDetails(
                    "combination_boiler", maker=LONG, model=LONG, serial=LONG
                ),
            )
            session.flush()
            visit = lifecycle.take_call(
                session,
                CallDetails(
                    "no_response",
                    f"{LONG}. " * 30,
                    customer_id=customer,
                    premises_id=premises,
                    appliance_id=appliance,
                ),
            )
            session.flush()
            lifecycle.book(
                session,
                visit,
                start=clock() + timedelta(minutes=10 * turn),
                technician_id=technicians[turn % 5],
            )
            session.flush()
            if turn == 0:
                lifecycle.arrive(session, visit)
    photograph(office, A_DAY, f"{LONG} <b>bold?</b> " * 3)
    return office


def photograph(office: Office, count: int, caption: str) -> None:
    """Add photographs, upright ones among them, to the visit that is under way."""
    sizes = ((800, 600), (600, 800), (1600, 500))
    taken = tuple(
        photograph_of(photograph_file(number, sizes[number % len(sizes)]))
        for number in range(count)
    )
    key = _visits(office)["under_way"]
    sheet = office.carry_out(AddPhotographs(key, taken))
    kinds = itertools.cycle(KINDS)
    for photograph_id, kind in zip(sheet.photograph_ids[1:], kinds, strict=False):
        office.carry_out(DescribePhotograph(key, photograph_id, Shows(kind), caption))


def shoot(camera: Camera, office: Office) -> None:
    """Take every window of an office."""
    queue, prompts = InlineQueue(office), PreparedPrompts(Path(tempfile.gettempdir()))
    counter = CounterWindow(queue, prompts)
    camera.take(counter, "counter")
    counter.day.take_focus()
    camera.take(counter, "record")
    counter.day.turn()
    camera.take(counter, "week")
    counter.day.turn()
    counter.finder.box.setText("el")
    counter.finder.box.textEdited.emit("el")
    camera.take(counter, "find")
    counter.finder.box.clear()
    counter.finder.box.textEdited.emit("")
    counter.call.start(counter.record.view)
    counter.right.setCurrentWidget(counter.call)
    counter.call.danger.yes.click()
    camera.take(counter, "call")
    phones = counter.record.view.customer.phones if counter.record.view else ()
    counter.call.start(phone=phones[0] if phones else "")
    counter.call.danger.no.click()
    camera.take(counter, "call-new")
    shoot_repeats(camera, queue)
    camera.take(PartsWindow(queue, prompts), "parts")
    camera.take(OrdersWindow(queue, prompts), "orders")
    camera.take(PeopleWindow(queue), "people")
    camera.take(ShopWindow(queue, prompts), "shop")
    camera.take(WithdrawnWindow(queue), "withdrawn")
    shoot_papers(camera, queue, prompts)
    shoot_own_checks(camera, queue)
    shoot_bringing_in(camera, queue)
    view = counter.record.view
    if view is not None:
        counter.record.mend.click()
        camera.take(counter, "mend-customer")
        place = view.premises[0]
        for name, form in (
            ("premises", forms.mend_premises(queue, place)),
            ("appliance", forms.mend_appliance(queue, place.appliances[0])),
        ):
            counter.record.form_asked.emit(form)
            camera.take(counter, f"mend-{name}")
        for name, form in (
            ("join", merge_forms.join_customer(queue, view)),
            ("hands", tie_forms.change_hands(queue, place)),
        ):
            counter.record.form_asked.emit(form)
            camera.take(counter, name)
    for name, form in (
        ("customer", forms.new_customer(queue)),
        ("person", forms.person_form(queue)),
        ("part", forms.part_form(queue)),
        ("charging", charging_form(queue, office.answer(SeeShop()))),
    ):
        dialog = FormDialog(form)
        camera.take(dialog, f"form-{name}")
        dialog.close()
    counter.close()
    for name, key in _visits(office).items():
        sheet = VisitWindow(queue, prompts, key)
        for stage in STAGES:
            sheet.go_to(stage)
            camera.take(sheet, f"visit-{name}-{stage}")
        sheet.close()


def shoot_papers(camera: Camera, queue: InlineQueue, prompts: PreparedPrompts) -> None:
    """Take the reports of a month, all of them as one document, a day's sheets, parts used."""
    reports = ReportsWindow(queue, prompts, FIRST_DAY.date())
    reports.buttons["month"].click()
    camera.take(reports, "reports")
    over = CounterPapers(queue, prompts, reports)
    over.show_day(FIRST_DAY.date())
    if reports.buttons["show"].isEnabled():
        reports.buttons["show"].click()
    for name, shown in zip(("day", "all"), reports.findChildren(DocumentWindow), strict=False):
        camera.take(shown, f"document-{name}")
    reports.close()
    used = UsedWindow(queue, prompts, FIRST_DAY.date())
    used.period.since.put("1 jan 2026")
    used.refresh()
    camera.take(used, "parts-used")
    used.close()


def shoot_repeats(camera: Camera, queue: InlineQueue) -> None:
    """Take every view of what comes back."""
    window = RepeatsWindow(queue, PreparedPrompts(Path(tempfile.gettempdir())))
    for place, name in enumerate(("repeats", "repeats-ages", "repeats-lives", "repeats-worth")):
        window.tabs.setCurrentIndex(place)
        camera.take(window, name)
    window.close()


def shoot_own_checks(camera: Camera, queue: InlineQueue) -> None:
    """Take the shop's own checks: as they came, one made its own, and a draft."""
    window = OwnChecksWindow(queue)
    camera.take(window, "own-checks")
    window.list.setCurrentIndex(window.lines.index(1))
    window.verbs["own_take"].click()
    window.form.fields["title"].take_up("Is the floor wet, or was the heater under water?")
    window.form.flush()
    camera.take(window, "own-checks-own")
    window.form.fields["minutes"].take_up("soon")
    window.form.flush()
    window.form.ensureWidgetVisible(window.form.fields["minutes"])
    camera.take(window, "own-checks-draft")
    window.close()


def shoot_bringing_in(camera: Camera, queue: InlineQueue) -> None:
    """Take a directory of another program: a column that is not known, and what would come in."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "old directory.csv"
        path.write_text(
            f"Who;Phone;Phone 2;Street;City;Size\n{LONG};(212) 555-0142;555-0143;12 Weir Street;"
            f"Larkmoor;38\nTarn Éva;ask for {LONG};;3 Quay;Larkmoor;\n;555-0144;;;;\n"
        )
        window = BringingInWindow(queue, PreparedPrompts(Path(folder)))
        window.open(path)
        camera.take(window, "bringing-in")
        window.matching.boxes[0].setCurrentIndex(1)
        camera.take(window, "bringing-in-counted")
        window.close()


def _visits(office: Office) -> dict[str, uuid.UUID]:
    """Return a visit under way and a sealed one, where there are such."""
    with office.read() as session:
        found = {
            state: session.scalars(
                sa.select(Visit.id).where(Visit.state == state).order_by(Visit.number.desc())
            ).first()
            for state in ("under_way", "sealed")
        }
    return {state: key for state, key in found.items() if key is not None}


OFFICES: dict[str, Callable[[Path], Office]] = {
    "empty": empty_office,
    "usual": usual_office,
    "extreme": extreme_office,
}


def main(folder: Path, look: str) -> None:
    """Take the pictures of one look at the scale that Qt was started with."""
    application = QApplication.instance() or QApplication([])
    if not isinstance(application, QApplication):
        raise TypeError("no windows here")
    themes.wear(application, tokens.LOOKS[look])
    scale = os.environ.get("QT_SCALE_FACTOR", "1")
    folder.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory() as scratch:
        for kind in (QSettings.Format.NativeFormat, QSettings.Format.IniFormat):
            QSettings.setPath(kind, QSettings.Scope.UserScope, scratch)
        for case, office_of in OFFICES.items():
            with office_of(Path(scratch) / f"{case}.drawoff") as office:
                shoot(Camera(folder, f"{look}-{scale}-{case}"), office)
        camera = Camera(folder, f"{look}-{scale}")
        camera.take(FoundingDialog(), "founding")


if __name__ == "__main__":
    main(Path(sys.argv[1]), sys.argv[2])
