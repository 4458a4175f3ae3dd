"""When an act happened, which one it is, and what makes it the same content."""

import uuid
from datetime import UTC, datetime, timedelta

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from hypothesis import assume, given
from hypothesis import strategies as st

from workshop.acting import LONGEST_WAIT, content_of, key_of, moment_of

RECEIVED = datetime(2026, 3, 10, 9, 0, tzinfo=UTC)
MOMENTS = st.datetimes(timezones=st.just(UTC))


def times(happened, sent):
    return {"happened_at": happened.isoformat(), "sent_at": sent.isoformat()}


def test_an_act_sent_at_once_happened_as_it_was_pressed():
    pressed = RECEIVED - timedelta(seconds=2)
    assert moment_of(times(pressed, RECEIVED), RECEIVED).happened_at == pressed


@pytest.mark.parametrize("wrong", [timedelta(hours=5), timedelta(hours=-7), timedelta(days=-20_000)])
def test_a_phone_whose_clock_is_wrong_is_put_right(wrong):
    """Pressed at 8:20, sent at 9:00, both on a clock that is hours or years off."""
    pressed, sent = RECEIVED - timedelta(minutes=40) + wrong, RECEIVED + wrong
    assert moment_of(times(pressed, sent), RECEIVED).happened_at == RECEIVED - timedelta(minutes=40)


def test_what_the_phone_said_is_kept():
    pressed = RECEIVED + timedelta(hours=5)
    moment = moment_of(times(pressed, pressed + timedelta(minutes=1)), RECEIVED)
    assert moment.raw_happened_at == pressed


def test_the_arrival_is_kept():
    assert moment_of({}, RECEIVED).received_at == RECEIVED


@pytest.mark.parametrize(
    "data",
    [
        {},
        {"happened_at": "", "sent_at": ""},
        {"happened_at": RECEIVED.isoformat()},
        {"sent_at": RECEIVED.isoformat()},
        {"happened_at": "noon", "sent_at": "later"},
        {"happened_at": "2026-13-41T99:99:99Z", "sent_at": RECEIVED.isoformat()},
        {"happened_at": "2026-03-10T08:00:00", "sent_at": "2026-03-10T09:00:00"},
        {"happened_at": "0001-01-01T00:00:00+14:00", "sent_at": RECEIVED.isoformat()},
        {"happened_at": "9999-12-31T23:59:59-14:00", "sent_at": RECEIVED.isoformat()},
        {"happened_at": "\x00", "sent_at": "9" * 5000},
    ],
)
def test_without_times_that_can_be_read_it_happened_on_arrival(data):
    moment = moment_of(data, RECEIVED)
    assert (moment.happened_at, moment.raw_happened_at) == (RECEIVED, RECEIVED)


def test_an_act_that_waited_a_month_is_believed():
    pressed = RECEIVED - LONGEST_WAIT
    assert moment_of(times(pressed, RECEIVED), RECEIVED).happened_at == pressed


def test_an_act_pressed_before_the_phone_knew_the_year_happened_on_arrival():
    """Pressed at a clock of 1970 that was set right before the sending."""
    pressed = datetime(1970, 1, 1, tzinfo=UTC)
    moment = moment_of(times(pressed, RECEIVED), RECEIVED)
    assert (moment.happened_at, moment.raw_happened_at) == (RECEIVED, pressed)


def test_an_act_sent_before_it_happened_happened_on_arrival():
    moment = moment_of(times(RECEIVED + timedelta(hours=1), RECEIVED), RECEIVED)
    assert moment.happened_at == RECEIVED


@given(MOMENTS, MOMENTS)
def test_nothing_happens_after_it_arrived(pressed, sent):
    moment = moment_of(times(pressed, sent), RECEIVED)
    assert RECEIVED - LONGEST_WAIT <= moment.happened_at <= RECEIVED


@given(MOMENTS, st.timedeltas(timedelta(0), LONGEST_WAIT))
def test_however_wrong_the_clock_the_wait_counts(sent, waited):
    assume(sent - datetime.min.replace(tzinfo=UTC) > waited)
    assert moment_of(times(sent - waited, sent), RECEIVED).happened_at == RECEIVED - waited


@given(st.text(max_size=40), st.text(max_size=40))
def test_any_text_for_a_moment_is_borne(happened, sent):
    assert moment_of({"happened_at": happened, "sent_at": sent}, RECEIVED).happened_at <= RECEIVED


def test_the_clients_key_is_the_acts_key():
    key = uuid.uuid4()
    assert key_of({"key": str(key)}) == key


@pytest.mark.parametrize("data", [{}, {"key": ""}, {"key": "seven"}, {"key": "\x00"}, {"key": "0" * 500}])
def test_without_a_key_an_act_gets_a_fresh_one(data):
    assert key_of(data) != key_of(data)


def sent(rf, path="/bench/", **data):
    return content_of(rf.post(path, data))


def photo(content):
    return SimpleUploadedFile("pour.jpg", content)


def test_the_same_figures_are_the_same_content(rf):
    assert sent(rf, a_g="300", b_g="135") == sent(rf, b_g="135", a_g="300")


def test_moments_key_and_token_are_no_content(rf):
    hidden = {"key": "1", "sent_at": "2", "happened_at": "3", "csrfmiddlewaretoken": "4"}
    assert sent(rf, a_g="300", **hidden) == sent(rf, a_g="300")


@pytest.mark.parametrize("other", [{"a_g": "301"}, {"a_g": "300", "more": ""}, {"a_g": ["300", "300"]}])
def test_other_figures_are_other_content(rf, other):
    assert sent(rf, **other) != sent(rf, a_g="300")


def test_another_address_is_other_content(rf):
    assert sent(rf, "/bench/1/", a_g="300") != sent(rf, "/bench/2/", a_g="300")


def test_another_photo_is_other_content(rf):
    assert sent(rf, photo=photo(b"one")) != sent(rf, photo=photo(b"two"))


def test_a_photo_can_be_read_after_its_fingerprint_was_taken(rf):
    request = rf.post("/bench/", {"photo": photo(b"all of it")})
    content_of(request)
    assert request.FILES["photo"].read() == b"all of it"
