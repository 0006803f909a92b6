import string

import pytest

from hoistbook.core.vehicle.vin import check_digit, inspect

# published: 49 CFR 565.15 table III, retyped: letters that share a value cannot be told apart by the check digit.
SAME_VALUE = ["AJ1", "BKS2", "CLT3", "DMU4", "ENV5", "FW6", "GPX7", "HY8", "RZ9", "0"]
CHARACTERS = "".join(c for c in string.ascii_uppercase + string.digits if c not in "IOQ")


@pytest.mark.parametrize(
    ("vin", "digit"),
    [
        # published: 49 CFR 565.15 table V, sample VIN printed without its check digit (sum 411; 411 mod 11 = 4).
        ("1G4AH59H05G118341", "4"),
        # computed: by hand from the same tables, serial changed by 3: sum 417; 417 mod 11 = 10, written X.
        ("1G4AH59H05G118344", "X"),
        # computed: by hand, seventeen ones: the weights add up to 89; 89 mod 11 = 1.
        ("11111111111111111", "1"),
    ],
)
def test_check_digit_of_worked_examples(vin, digit):
    assert check_digit(vin) == digit


def test_check_digit_is_found_with_its_own_place_filled_in():
    assert inspect("1G4AH59H45G118341").check_digit_holds
    assert not inspect("1G4AH59H55G118341").check_digit_holds


def test_any_slip_to_another_value_is_caught_and_no_other():
    # first principles: 11 is prime and no weight away from position 9 is a multiple of it. All 16 · 33 slips are tried.
    sample = "1G4AH59H45G118341"
    for place in (*range(8), *range(9, 17)):
        alike = next(group for group in SAME_VALUE if sample[place] in group)
        for wrong in CHARACTERS:
            slipped = sample[:place] + wrong + sample[place + 1 :]
            assert inspect(slipped).check_digit_holds == (wrong in alike), (place, wrong)


def test_wrong_check_digit_is_a_remark_and_no_refusal():
    report = inspect("1G4AH59H55G118341")
    assert "would be 4" in report.remarks[0]


@pytest.mark.parametrize(
    ("code", "years"),
    [
        # published: model-year codes of ISO 3779:2009 (second hand: two public encyclopedias).
        ("A", (1980, 2010)),
        ("L", (1990, 2020)),
        ("R", (1994, 2024)),
        ("V", (1997, 2027)),
        ("Y", (2000, 2030)),
        ("1", (2001, 2031)),
        ("9", (2009, 2039)),
    ],
)
def test_model_year_codes(code, years):
    # published: 49 CFR 565.15, 565.25: position 7 numeric in 1980–2009, alphabetic in 2010–2039.
    old, new = f"1G4AH591_{code}G118341", f"1G4AH5H1_{code}G118341"
    old, new = old.replace("_", "0"), new.replace("_", "0")
    assert inspect(old).model_years == years
    assert inspect(old[:6] + "9" + old[7:]).model_year == years[0]
    assert inspect(new).model_year == years[1]


def test_model_year_that_contradicts_the_code_is_remarked():
    assert any("model year is given as 2021" in r for r in inspect("1G4AH5H10RG118341", 2021).remarks)
    assert not any("model year is given" in r for r in inspect("1G4AH5H10RG118341", 2024).remarks)


def test_code_without_a_year_is_remarked():
    assert any("stands for no model year" in r for r in inspect("1G4AH5H100G118341").remarks)


@pytest.mark.parametrize(
    ("vin", "words"),
    [
        ("1G4AH59H05G11834", "16 characters"),
        ("1G4AH59HO5G118341", "'O' at position 9; O is never used; perhaps 0"),
    ],
)
def test_impossible_vin_is_refused_with_advice(vin, words):
    with pytest.raises(ValueError, match=words):
        check_digit(vin)
