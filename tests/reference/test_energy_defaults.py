"""Another file of defaults: read like the packaged one, or refused with file, field and advice."""

from importlib import resources

import pytest

from hoistbook.reference.energy import energy_defaults, read_energy_defaults

PACKAGED = (resources.files("hoistbook.reference") / "data" / "energy_defaults.toml").read_text(
    encoding="utf-8"
)


@pytest.fixture
def written(tmp_path):
    def write(text, encoding="utf-8"):
        path = tmp_path / "mine.toml"
        path.write_bytes(text.encode(encoding))
        return path

    return write


def test_the_packaged_file_read_as_another_is_the_same(written):
    assert read_energy_defaults(written(PACKAGED)).fields == energy_defaults().fields


def test_a_changed_figure_is_used(written):
    # first principles: what is written is what is read.
    text = PACKAGED.replace(
        'value = 0.03\nunit = "1"\nhalf_width = 0.01', 'value = 0.05\nunit = "1"\nhalf_width = 0.01'
    )
    assert read_energy_defaults(written(text)).fields["rotating_frac"].value == 0.05


@pytest.mark.parametrize(
    ("old", "new", "message"),
    [
        ("[required]", "[required", "mine.toml is not a TOML file"),
        ("value = 0.03\n", 'value = "abc"\n', "rotating_frac: value = 'abc' is no number"),
        ("value = 0.03\n", "value = nan\n", "rotating_frac: value = nan is no number"),
        (
            "[field.rotating_frac]",
            "[field.rotating_fraction]",
            "'rotating_fraction' is not an energy parameter",
        ),
        ('unit = "m2"', 'unit = "cm2"', "drag_area_m2: unit 'cm2'; give the figure in 'm2'"),
        ('mark = "published"\n', "", "mark missing"),
    ],
)
def test_a_file_that_cannot_be_used_is_refused(written, old, new, message):
    assert old in PACKAGED
    with pytest.raises(ValueError, match=message):
        read_energy_defaults(written(PACKAGED.replace(old, new, 1)))


def test_another_encoding_is_refused(written):
    with pytest.raises(ValueError, match="not a TOML file in UTF-8"):
        read_energy_defaults(written(PACKAGED + "# °", "latin-1"))
