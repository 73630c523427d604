"""Recording on the workshop phone in a real browser: in few taps, and where the network comes and goes.

What is stored is stored in a database of this module.
"""

from collections.abc import Callable, Iterator
from contextlib import suppress
from io import StringIO

import pytest
from django.conf import settings
from django.contrib.sessions.models import Session
from django.core.management import call_command
from playwright.sync_api import BrowserContext, Error, Page, Route, expect
from pytest_django.live_server_helper import LiveServer

from catalog.models import Catalogue
from fitment.models import JobTime, Measurement, TestFit
from fitment.readers.editions import forget
from tests.browser.conftest import DESK, PASSWORD, PHONE, _accounts, own_database, sign_in

FIT = "/test-fit/new/?variant=QN4-18-SAL&axle=TNF4&location=tension_link.inner&component=T-4110&part=LM-210&revision=D"
SIZE = "/test-fit/new/?kind=measurement&component=T-6231&feature=bore"
TIME = "/test-fit/new/?kind=job-time&variant=QN4-18-SAL&parts=LM-211:front.tension_link.inner&side=left"
REFUSES = "Storage.prototype.setItem = () => { throw new DOMException('refused', 'QuotaExceededError'); };"
FORBIDS = "Object.defineProperty(window, 'localStorage', { get() { throw new DOMException('no', 'SecurityError'); } });"


@pytest.fixture(scope="module")
def workshop(browser, django_db_blocker) -> Iterator[str]:
    """The address of a server on a database of this module's own."""
    patch = pytest.MonkeyPatch()
    patch.setenv("DJANGO_ALLOW_ASYNC_UNSAFE", "1")  # the browser's driver keeps an event loop in this thread
    with django_db_blocker.unblock(), own_database("test_browser_record"):
        call_command("migrate", verbosity=0)
        call_command("load_catalogue", str(settings.ROOT / "fixtures" / "demo"), stdout=StringIO())
        _accounts()
        forget()
        server = LiveServer("localhost:0")
        yield server.url
        server.stop()
    forget()
    patch.undo()


@pytest.fixture
def phone(browser, workshop) -> Iterator[Callable[..., Page]]:
    """A phone, signed in; `before`: a script that runs before those of any page."""
    contexts: list[BrowserContext] = []
    expect.set_options(timeout=20_000)  # as long as a page is waited for

    def make(*, script: bool = True, before: str = "", size=PHONE, scheme: str = "light") -> Page:
        context = browser.new_context(
            base_url=workshop, viewport={"width": size[0], "height": size[1]}, java_script_enabled=script,
            color_scheme=scheme,
        )  # fmt: skip
        if before:
            context.add_init_script(before)
        contexts.append(context)
        page = context.new_page()
        page.set_default_timeout(20_000)
        return sign_in(page, "development", "/account/tokens/")

    yield make
    for context in contexts:
        with suppress(Error):
            context.close()


class Fitter:
    """Counts taps and lines typed; a list opened and a choice of it are two taps."""

    def __init__(self, page: Page) -> None:
        self.page = page
        self.interactions = 0

    def tap(self, what: str) -> None:
        self.interactions += 1
        self.page.locator(what).first.click()

    def types(self, where: str, text: str) -> None:
        self.tap(where)
        self.interactions += 1
        self.page.keyboard.type(text)

    def chooses(self, where: str, value: str) -> None:
        self.interactions += 2
        self.page.select_option(where, value)

    def follows(self, what: str) -> None:
        with self.page.expect_navigation():
            self.tap(what)

    def stores(self) -> None:
        self.tap("text=See what changes")
        self.page.wait_for_selector("text=If this is stored")
        self.tap("text=Record exactly this")
        expect(self.page.locator(".stored")).to_contain_text("Stored")


def passed(page: Page, link: str = FIT) -> str:
    """A test fit filled in; its reference."""
    page.goto(link)
    page.check("[name=outcome][value=passed]")
    return page.input_value("[name=ref]")


def previewed(page: Page, link: str = FIT) -> str:
    ref = passed(page, link)
    page.click("text=See what changes")
    page.wait_for_selector("text=Record exactly this")
    return ref


def stored(ref: str) -> int:
    return TestFit.objects.filter(ref=ref).count()


def edition() -> int:
    return Catalogue.objects.get().edition


# Few taps -----------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("kind", "most"), [("test fit", 3), ("measurement", 10), ("job time", 4)])
def test_from_a_link_few_taps_do(phone, kind, most):
    """The bounds are ours: a tap for what the link cannot know, two for each figure, two to look and to store."""
    page = phone()
    fitter = Fitter(page)
    if kind == "test fit":
        page.goto(FIT)
        fitter.tap("label:has([value=passed])")
    elif kind == "measurement":
        page.goto(SIZE)
        for box, text in enumerate(("36.012", "36.016", "36.014")):
            fitter.types(f"[name=reading] >> nth={box}", text)
        fitter.types("#f-uncertainty_mm", "0.002")
    else:
        page.goto(TIME)
        fitter.types("#f-minutes", "71")
    fitter.stores()
    assert fitter.interactions <= most
    if kind == "measurement":
        row = Measurement.objects.get(component__code="T-6231", feature="bore", mean_mm="36.014", samples=3)
        assert float(row.spread_mm) == pytest.approx(0.002)


@pytest.mark.parametrize(("kind", "most"), [("test fit", 8), ("measurement", 13), ("job time", 7)])
def test_from_nothing(phone, kind, most):
    page = phone()
    fitter = Fitter(page)
    page.goto(f"/test-fit/new/?kind={kind.replace(' ', '-')}")
    if kind == "measurement":
        fitter.types("#f-q", "t-6231")
        fitter.follows("[value=hear]")
        fitter.chooses("#f-feature", "seat_length")
        fitter.types("[name=reading] >> nth=0", "44.1")
        fitter.types("[name=reading] >> nth=1", "44.2")
        fitter.types("#f-uncertainty_mm", "0.05")
    else:
        fitter.follows(".offers a:has-text('QN4')")
        fitter.follows(".offers a[href*='variant=QN4-18-SAL']")
        if kind == "test fit":
            fitter.follows(".offers a[href*='component=T-4110']")
            fitter.chooses("#f-fitted", "LM-210 C")
            fitter.tap("label:has([value=passed])")
        else:
            fitter.tap(".part-box:has-text('LM-220')")
            fitter.types("#f-minutes", "95")
    fitter.stores()
    assert fitter.interactions <= most


def test_the_phone_remembers_its_car_its_part_and_its_instrument(phone):
    page = phone()
    previewed(page)
    page.click("text=Record exactly this")
    page.wait_for_selector(".stored")
    page.goto("/test-fit/new/")
    with page.expect_navigation():
        page.click(".offers a[href*='variant=QN4-18-SAL'] >> nth=0")
    with page.expect_navigation():
        page.click(".offers a[href*='component=T-4110']")
    assert page.input_value("#f-fitted") == "LM-210 D"


@pytest.mark.parametrize("link", [FIT, SIZE, TIME])
def test_a_form_from_a_link_is_one_screen_of_a_phone(phone, link):
    page = phone()
    page.goto(link)
    box = page.locator(".send button").bounding_box()
    assert box["y"] + box["height"] <= PHONE[1]  # what sends is in sight without scrolling
    form = page.locator("#record").bounding_box()
    assert form["height"] <= PHONE[1]
    small = page.evaluate("""() => [...document.querySelectorAll("#record :is(input, select, button, a)")]
        .filter((one) => one.checkVisibility())
        .map((one) => one.closest("label") ?? one)
        .filter((one) => one.getBoundingClientRect().height < 44)
        .map((one) => one.outerHTML)""")
    assert small == []
    if link == TIME:
        assert page.get_attribute("#f-minutes", "inputmode") == "decimal"


def test_the_car_and_the_job_lead_to_a_filled_form(phone):
    page = phone()
    page.goto("/car/?variant=QN4-18-SAL&component.front.tension_link.inner=T-4110")
    with page.expect_navigation():
        page.click("#answers ~ section:has-text('LM-210') >> text=Record a test fit here")
    hidden = {name: page.input_value(f"[name={name}]") for name in ("variant", "axle", "location", "component")}
    assert list(hidden.values()) == ["QN4-18-SAL", "TNF4", "tension_link.inner", "T-4110"]
    page.goto("/job/?variant=QN4-18-SAL&part=LM-220&side=left")
    with page.expect_navigation():
        page.click("text=Record how long it took")
    assert page.is_checked("[name=parts][value='LM-220:front.lateral_link.inner']")
    assert page.is_checked("[name=side][value=left]")


# A connection that comes and goes -----------------------------------------------------------------------------------


def test_lost_while_the_preview_is_asked_for(phone):
    page = phone()
    ref = passed(page)
    page.fill("#f-findings", "boot touches the subframe")
    page.context.set_offline(True)
    page.click("text=See what changes")
    expect(page.locator("#connection")).to_contain_text("No connection")
    assert page.input_value("#f-findings") == "boot touches the subframe"
    page.fill("#f-findings", "boot touches the subframe at full lock")  # typed on while it waits
    page.context.set_offline(False)
    page.wait_for_selector("text=If this is stored")
    assert "at full lock" in page.inner_text(".preview")
    assert page.input_value("[name=ref] >> nth=0") == ref
    assert stored(ref) == 0


def test_lost_while_storing_sends_once(phone):
    page = phone()
    ref = previewed(page)
    before = edition()
    page.context.set_offline(True)
    page.click("text=Record exactly this")
    expect(page.locator("#connection")).to_contain_text("No connection")
    page.click("text=Record exactly this")  # an impatient thumb
    page.context.set_offline(False)
    expect(page.locator(".stored")).to_contain_text(ref)
    assert stored(ref) == 1
    assert edition() == before + 1
    expect(page.locator("#kept")).to_be_hidden()


@pytest.mark.parametrize("kind", ["test fit", "measurement"])
def test_stored_and_the_answer_lost(phone, kind):
    """The row stands, the phone does not know: it sends again, and nothing is stored twice."""
    page = phone()
    if kind == "test fit":
        previewed(page)
    else:
        page.goto("/test-fit/new/?kind=measurement&component=T-6231&feature=bolt")
        page.fill("[name=reading] >> nth=0", "12.01")
        page.fill("#f-uncertainty_mm", "0.01")
        page.click("text=See what changes")
        page.wait_for_selector("text=Record exactly this")
    before, rows = edition(), TestFit.objects.count() + Measurement.objects.count()
    answers: list[int] = []

    def lose_first(route: Route) -> None:
        if route.request.method != "POST":
            return route.continue_()
        answer = route.fetch(max_redirects=0)
        answers.append(answer.status)
        return route.abort() if len(answers) == 1 else route.fulfill(response=answer)

    page.route("**/test-fit/new/**", lose_first)
    page.click("text=Record exactly this")
    expect(page.locator(".stored")).to_contain_text("Stored")
    assert answers == [303, 303]
    assert edition() == before + 1
    assert TestFit.objects.count() + Measurement.objects.count() == rows + 1


def test_the_phone_is_closed_while_it_waits(phone):
    page = phone()
    ref = previewed(page)
    page.context.set_offline(True)
    page.click("text=Record exactly this")
    expect(page.locator("#connection")).to_contain_text("No connection")
    context = page.context
    page.close()
    context.set_offline(False)
    later = context.new_page()
    later.goto("/test-fit/new/?kind=job-time")  # wherever it is opened again
    expect(later.locator("#connection")).to_contain_text("Stored: Test fit")
    assert stored(ref) == 1


def test_reloaded_without_a_connection_what_was_typed_stands_again(phone):
    page = phone()
    ref = passed(page)
    page.fill("#f-findings", "clicks when cold")
    page.context.set_offline(True)
    with suppress(Error):
        page.reload()
    page.context.set_offline(False)
    page.goto(FIT)
    expect(page.locator("#connection")).to_contain_text("stands here again")
    assert page.input_value("#f-findings") == "clicks when cold"
    assert page.is_checked("[name=outcome][value=passed]")
    assert page.input_value("[name=ref]") == ref
    page.click("text=Start afresh")
    assert page.input_value("#f-findings") == ""
    assert page.input_value("[name=ref]") != ref
    expect(page.locator("#kept li")).to_have_count(1)
    page.click("#kept >> text=Go on")
    assert page.input_value("#f-findings") == "clicks when cold"


def test_several_wait_and_each_is_sent_once(phone):
    """Two confirmed records and one that nobody has previewed: that one waits for a look."""
    page = phone()
    first = previewed(page)
    page.context.set_offline(True)
    page.click("text=Record exactly this")
    page.click("text=Record another meanwhile")
    expect(page.locator("#kept li")).to_have_count(1)
    page.check("[name=outcome][value=failed]")
    page.fill("#f-findings", "thread stripped")
    second = page.input_value("[name=ref]")
    page.click("text=See what changes")
    page.click("text=Record another meanwhile")
    expect(page.locator("#kept li")).to_have_count(2)
    third = page.input_value("[name=ref]")
    assert len({first, second, third}) == 3
    page.context.set_offline(False)
    expect(page.locator("#connection")).to_contain_text("Stored: Test fit")
    expect(page.locator("#kept li")).to_have_count(1)
    assert (stored(first), stored(second)) == (1, 0)
    page.click("#kept >> text=Go on")
    assert page.input_value("#f-findings") == "thread stripped"
    page.click("text=See what changes")
    page.wait_for_selector("text=Record exactly this")
    page.click("text=Record exactly this")
    expect(page.locator(".stored")).to_contain_text(second)


def test_two_that_were_previewed_at_one_edition_are_both_stored(phone):
    """The first makes an edition; the second changes exactly what was looked at, and is stored without asking again."""
    page = phone()
    other = page.context.new_page()
    refs = [previewed(page), previewed(other)]
    for one in (page, other):
        one.click("text=Record exactly this")
        expect(one.locator(".stored")).to_contain_text("Stored")
    assert [stored(ref) for ref in refs] == [1, 1]


@pytest.mark.parametrize("script", [REFUSES, FORBIDS])
def test_a_browser_that_keeps_nothing_says_so_and_still_records(phone, script):
    page = phone(before=script)
    ref = passed(page)
    expect(page.locator("#connection")).to_contain_text("keeps nothing on the device")
    page.context.set_offline(True)
    page.click("text=See what changes")
    expect(page.locator("#connection")).to_contain_text("as long as this page is open")
    page.context.set_offline(False)
    page.wait_for_selector("text=Record exactly this")
    page.click("text=Record exactly this")
    expect(page.locator(".stored")).to_contain_text(ref)
    assert stored(ref) == 1


@pytest.mark.parametrize("step", ["preview", "save"])
def test_signed_out_meanwhile(phone, step):
    page = phone()
    ref = passed(page) if step == "preview" else previewed(page)
    page.fill("#f-findings" if step == "preview" else ".record-form #f-findings", "seen")
    if step == "save":
        page.click("text=See what changes")
        page.wait_for_selector(".preview:has-text('seen')")
    Session.objects.all().delete()
    page.click("text=See what changes" if step == "preview" else "text=Record exactly this")
    expect(page.locator("#connection")).to_contain_text("You are signed out")
    assert stored(ref) == 0
    with page.expect_navigation():
        page.click("text=Sign in again")
    page.get_by_label("Username").fill("development")
    page.get_by_label("Password").fill(PASSWORD)
    with page.expect_navigation():
        page.locator("main").get_by_role("button", name="Sign in").click()
    if step == "preview":
        assert page.input_value("#f-findings") == "seen"
        assert page.input_value("[name=ref]") == ref
    else:
        expect(page.locator("#connection")).to_contain_text("Stored: Test fit")
        assert stored(ref) == 1


def test_signed_in_anew_in_another_tab(phone):
    """The page's token is out of date: it takes a new one and goes on."""
    page = phone()
    ref = passed(page)
    Session.objects.all().delete()
    sign_in(page.context.new_page(), "development", "/account/tokens/")
    page.click("text=See what changes")
    page.wait_for_selector("text=Record exactly this")
    assert page.input_value("[name=ref] >> nth=0") == ref


def test_refused_later_the_draft_is_kept_and_the_error_stands_at_its_field(phone):
    """Stored blindly it would fail: the server refuses what waited, and the form says where."""
    page = phone()
    page.goto(TIME)
    page.fill("#f-minutes", "64")
    page.click("text=See what changes")
    page.wait_for_selector("text=Record exactly this")
    page.context.set_offline(True)
    page.evaluate("for (const field of document.querySelectorAll('[name=minutes]')) field.value = 'an hour'")
    page.click("text=Record exactly this")
    page.click("text=Record another meanwhile")
    page.context.set_offline(False)
    expect(page.locator("#kept")).to_contain_text("Not stored")
    page.click("#kept >> text=Go on")
    page.wait_for_selector("#f-minutes-error")
    assert page.input_value("#f-minutes") == "an hour"
    assert not JobTime.objects.filter(minutes=64).exists()


def test_wrong_input_stands_at_its_field_with_what_would_be_right(phone):
    page = phone()
    page.goto("/test-fit/new/?kind=measurement&component=T-6231&feature=bore")
    page.fill("[name=reading] >> nth=0", "36.0l")
    page.fill("#f-uncertainty_mm", "0.002")
    page.click("text=See what changes")
    page.wait_for_selector("[role=alert]")
    assert "write millimetres such as 62.013" in page.inner_text("#f-reading")
    assert page.input_value("[name=reading] >> nth=0") == "36.0l"
    page.click("[role=alert] a")
    page.fill("[name=reading] >> nth=0", "36.01")
    page.click("text=See what changes")
    page.wait_for_selector("text=Record exactly this")


def test_without_javascript(phone):
    page = phone(script=False)
    page.goto("/test-fit/new/")
    page.click(".offers a:has-text('QN4')")
    page.click(".offers a[href*='variant=QN4-18-SAL']")
    page.click(".offers a[href*='component=T-4110']")
    page.select_option("#f-fitted", "LM-210 C")
    page.click("text=See what changes")
    assert "Not stored" in page.inner_text("main")
    assert page.input_value("#f-fitted") == "LM-210 C"
    page.check("[name=outcome][value=passed]")
    page.click("text=See what changes")
    assert "If this is stored" in page.inner_text("main")
    page.click("text=Record exactly this")
    assert "Stored as" in page.inner_text("main")


# Readable -----------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "link",
    [FIT, SIZE, TIME, "/test-fit/new/?variant=QN4-18-SAL", "/test-fit/new/?maker=TARNHOLT&chassis=QN4",
     "/test-fit/new/?by=code", "/test-fit/new/?axle=TNF4&location=tension_link.inner"],
)  # fmt: skip
@pytest.mark.parametrize(("size", "scheme"), [(PHONE, "dark"), (DESK, "light")])
def test_axe_empty_with_errors_and_without_a_connection(phone, violations, link, size, scheme):
    page = phone(size=size, scheme=scheme)
    page.goto(link)
    assert violations(page) == []
    assert page.evaluate("document.documentElement.scrollWidth") <= size[0]
    send = page.locator(".send button")
    if not send.count():
        return
    page.context.set_offline(True)
    send.click()
    expect(page.locator("#connection")).to_contain_text("No connection")
    assert violations(page) == []
    page.context.set_offline(False)
    page.wait_for_selector("[role=alert], .preview")
    assert violations(page) == []
