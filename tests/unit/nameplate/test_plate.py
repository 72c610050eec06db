"""What `read_plate` takes, what it keeps, and what a plate offers besides its motors."""

import pickle
import random
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as some
from tests.growth import growth

from ampwright.errors import InputError, LimitError
from ampwright.nameplate.plate import Plate, read_plate
from ampwright.nameplate.tokens import Token
from ampwright.quantity import Held

SAW = "5 HP 3PH 60CY 1740 RPM V 230/460 A 13.2/6.6 CODE J SF 1.15 DES B"
PIECES = (
    *("5", "7-1/2", "230/460", "13,8/8,0", "208-230/3/60", "0.75/1.5", "½", "1,745", "50/60"),
    *("HP", "kW", "cv", "V", "A", "AMPS", "RPM", "min-1", "Hz", "3PH", "3N~", "3 x 400 V", "%"),
    *("SF", "CODE J", "DES B", "PF", "cos φ", "RLA", "LRA", "Δ/Y", "YY", "D", "S3 40 %", "CL F"),
    *("80C", "AMB", "4P", "; feed", "x2", "+", "/", "(", "IE3", "IP55", "Läufer", "I1max", "kVA"),
    *("SCCR", "kA", "DC", "HP/KW", "FR 184T", "S/N 4711-9", "STAR/DELTA", "?", "\n", "٥", "🔧"),
)


def _token(plate: Plate, text: str) -> Token:
    return next(token for token in plate.tokens if token.text == text)


def test_the_power_is_read_and_the_user_s_unit_is_kept() -> None:
    motor = read_plate(SAW).motor
    assert motor is not None
    assert motor.power_w == pytest.approx(3728.499, abs=1e-3)
    assert isinstance(motor.power_w, Held)
    assert motor.power_w.given == "5 hp"


def test_every_piece_of_the_text_is_in_a_token() -> None:
    plate = read_plate(SAW)
    assert [token.text for token in plate.tokens if token.status != "blank"] == [
        *("5 HP", "3PH", "60CY", "1740 RPM", "V 230/460", "A 13.2/6.6", "CODE J", "SF 1.15"),
        "DES B",
    ]
    assert [token.start for token in plate.tokens] == [
        sum(len(token.text) for token in plate.tokens[:k]) for k in range(len(plate.tokens))
    ]


def test_a_token_says_what_was_made_of_it() -> None:
    plate = read_plate("5 HP 208-230/460 V 13.2/6.6 A CODE J TYPE K7 blue 3450")
    assert _token(plate, "208-230/460 V").values == (208, 230, 460)
    assert _token(plate, "208-230/460 V").fields == ("voltage",)
    assert _token(plate, "CODE J").meaning == "J"
    assert _token(plate, "TYPE K7").status == "noted"
    assert _token(plate, "blue").status == "not-read"
    assert (_token(plate, "3450").status, _token(plate, "3450").unit) == ("inferred", "rpm")
    assert _token(plate, "5 HP").unit == "W"
    assert _token(plate, "5 HP").values == pytest.approx((3728.499,), abs=1e-3)


def test_one_piece_may_state_several_fields() -> None:
    token = _token(read_plate("208-230/3/60 RLA 17.6"), "208-230/3/60")
    assert token.fields == ("voltage", "phases", "frequency")
    assert token.values == (208, 230, 60)


def test_a_contradicted_figure_is_kept_and_marked() -> None:
    plate = read_plate("1 HP 415 V 18 A 3PH 50 Hz")
    assert _token(plate, "18 A").status == "contradicted"
    assert plate.motor is not None
    assert plate.motor.current_a is None


def test_tokens_tell_the_motors_apart() -> None:
    plate = read_plate("5 HP 230 V 13.2 A; fan 1/4 HP 1.0 A x2")
    assert _token(plate, "1/4 HP").motor == 1
    assert [motor.name for motor in plate.motors] == ["", "fan", "fan"]


def test_a_load_and_no_motor() -> None:
    plate = read_plate("18 kW 220 V 3~ 47 A")
    assert plate.motor is None
    assert plate.load is not None
    assert plate.load.kind == "resistive"


def test_plates_are_equal_hashable_and_pickle() -> None:
    plate = read_plate(SAW)
    assert plate == read_plate(SAW)
    assert hash(plate) == hash(read_plate(SAW))
    assert pickle.loads(pickle.dumps(plate)) == plate  # noqa: S301 - our own bytes


@pytest.mark.parametrize("text", [None, 5, b"5 HP", ["5 HP"]])
def test_only_text_is_read(text: Any) -> None:  # noqa: ANN401 - what a caller may do wrong
    with pytest.raises(InputError) as caught:
        read_plate(text)
    assert caught.value.code == "type.text"


@pytest.mark.parametrize("text", ["", " ", "\n\t "])
def test_empty_text_is_refused(text: str) -> None:
    with pytest.raises(InputError) as caught:
        read_plate(text)
    assert caught.value.code == "field.empty"


def test_a_long_text_is_refused_before_it_is_read() -> None:
    with pytest.raises(LimitError):
        read_plate("5 HP " * 401)


@pytest.mark.parametrize("locale", ["xx", "German", "de_DE_1", ""])
def test_an_unknown_locale_is_refused(locale: str) -> None:
    with pytest.raises(InputError):
        read_plate(SAW, locale=locale)


@pytest.mark.parametrize(
    "piece",
    ["1", "1 ", "1-", "1/", "1,", "-", "3/", "D1/", "½", "1 1/2 ", "I", "~", "S3 ", "x2"],
)
def test_a_repeated_piece_takes_no_work_out_of_proportion(piece: str) -> None:
    """Four times the text takes 16 times the work at most; by the third power it would be 64."""
    text = piece * 2000
    assert growth(lambda: read_plate(text[:500]), lambda: read_plate(text[:2000])) < 32.0


@settings(max_examples=300, deadline=None)
@given(some.lists(some.sampled_from(PIECES), min_size=1, max_size=16))
def test_any_row_of_pieces_is_read_or_kept(pieces: list[str]) -> None:
    text = " ".join(pieces)
    if text.strip():
        plate = read_plate(text)
        assert "".join(token.text for token in plate.tokens) == text


@settings(max_examples=300, deadline=None)
@given(some.text(alphabet="0123456789.,/-+~xΔYD%°½ ()*;:=ANVkHzWP²\n", min_size=1, max_size=60))
def test_any_text_is_read_or_kept(text: str) -> None:
    if text.strip():
        plate = read_plate(text)
        assert "".join(token.text for token in plate.tokens) == text


def test_the_order_of_the_statements_does_not_matter() -> None:
    parts = ["5 HP", "230/460 V", "13.2/6.6 A", "60 HZ", "1740 RPM", "3PH", "CODE J", "SF 1.15"]
    wanted = read_plate(" ".join(parts)).motor
    shuffle = random.Random(7).shuffle  # noqa: S311 - the same order in every run
    for _ in range(50):
        shuffle(parts)
        assert read_plate(" ".join(parts)).motor == wanted


@pytest.mark.parametrize("blank", ["\t", "\n", "\u00a0", "\u202f", "  "])
def test_blanks_are_alike(blank: str) -> None:
    plate = read_plate(SAW.replace(" ", blank))
    assert plate.motors == read_plate(SAW).motors


def test_reading_a_plate_loads_neither_pint_nor_numpy() -> None:
    code = (
        "import sys; from ampwright.nameplate.plate import read_plate; "
        "read_plate('7,5 kW 400 V 15,1 A'); "
        "assert not {'pint', 'numpy', 'scipy'} & set(sys.modules)"
    )
    subprocess.run([sys.executable, "-c", code], check=True, cwd=Path(__file__).parent)  # noqa: S603 - our own code


def test_what_was_not_understood_is_said() -> None:
    plate = read_plate("5 HP 230/460 V 13/6.5 A 60 HZ 3PH 1740 RPN SF 1.15 ACME WORKS")
    (said,) = (one for one in plate.findings if one.code == "nameplate.unread")
    assert [part.value for part in said.parameters] == ["RPN, ACME WORKS"]
    assert said.severity == "info"


def test_a_number_beside_a_word_that_was_not_understood_is_to_be_confirmed() -> None:
    plate = read_plate("5 HP 230/460 V 13/6.5 A 60 HZ 3PH 1740 RPN SF 1.15")
    (said,) = (one for one in plate.findings if one.code == "nameplate.ambiguous-unit")
    found = {part.name: part.value for part in said.parameters}
    assert found == {"field": "speed", "given": "1740 RPN", "read": "rpm"}
    assert said.severity == "caution"


def test_a_figure_among_what_was_not_understood_is_a_caution() -> None:
    plate = read_plate("5 HP 230/460 V 13/6.5 A 60 HZ 3PH 1740 RPM 77Q9")
    (said,) = (one for one in plate.findings if one.code == "nameplate.unread")
    assert said.severity == "caution"


def test_of_a_plate_that_was_understood_nothing_is_said_to_be_left() -> None:
    plate = read_plate("5 HP 230/460 V 13/6.5 A 60 HZ 3PH 1740 RPM SF 1.15")
    assert not {"nameplate.unread", "nameplate.ambiguous-unit"} & {
        one.code for one in plate.findings
    }
