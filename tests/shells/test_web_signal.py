"""A damper signal as a meter shows it: volts or milliamperes with their ±, wherever the app asks for one."""

from __future__ import annotations

import re
from html import unescape
from importlib.resources import files
from pathlib import Path
from typing import Any

import pytest
from tests.web_client import DEMO, Client, words

from ventwright.job import read_job, work
from ventwright.readings.fault_finding import FaultFinding
from ventwright.tables.kit import Kit
from ventwright.tables.shelf import find, read_part

AT = f"/jobs/{DEMO}"
METERED = "6.2 V ± 0.1 V"
"""Of a kit that sends 2 V to 10 V: 52.5 % ± 1.2 % of the stroke."""
BESIDE = {"unit": "V", "number": "6.2 ± 0.1"}


@pytest.fixture
def client(tmp_path: Path) -> Client:
    client = Client(tmp_path)
    client.with_demo()
    return client


def entries(client: Client) -> list[dict[str, Any]]:
    held: list[dict[str, Any]] = client.document(DEMO)["readings"]["entries"]
    return held


def units_of(page: str, name: str) -> list[str]:
    """Return the units offered beside a field."""
    found = re.search(rf'<select name="{name}\.unit".*?</select>', page, re.DOTALL)
    return re.findall(r"<option[^>]*>([^<]+)</option>", found[0]) if found else []


def setting_at(client: Client) -> int:
    """Return the number of the first minimum signal among the settings."""
    planned = work(read_job(client.document(DEMO))).plan.settings
    return next(at for at, one in enumerate(planned, start=1) if str(one.means) == "minimum damper signal")


@pytest.mark.parametrize("typed", [(METERED, "%"), ("6.2 ± 0.1", "V"), ("6.2 +/- 0.1", "V")])
def test_a_signal_to_set_is_shown_both_ways(client: Client, typed: tuple[str, str]) -> None:
    """The unit in the field or beside it: per cent and volts, each with its ±."""
    page = client.get(f"{AT}/balance/high/set", params={"damper": typed[0], "damper.unit": typed[1]})
    assert page.status_code == 200
    assert "52.5 % · 6.20 V 52.5 % ± 1.2 %, 6.20 V ± 0.10 V" in words(page.text)


def test_a_reading_at_that_signal_keeps_it_as_typed(client: Client) -> None:
    where = f"{AT}/balance/high/read/mixed-air?damper={METERED.replace('%', '%25')}"
    assert "52.5 % ± 1.2 % (6.20 V ± 0.10 V)" in words(client.get(where).text)
    given = {
        "outdoor_air": "28.2 F",
        "return_air": "73.1 F",
        "mixed_air": "60.5 F, 60.8 F",
        "instrument": "probe",
    }
    answer = client.post(where, {"once": "1" * 32, **given})
    assert answer.status_code == 200, words(answer.text)
    assert entries(client)[-1]["damper_signal"] == METERED


def test_a_reading_is_corrected_to_what_the_meter_showed(client: Client) -> None:
    """The units of the kit alone are offered: per cent and volts."""
    first = next(one for one in entries(client) if one["what"] == "mixed air")
    at = f"{AT}/balance-list/{first['id']}"
    page = client.get(at)
    assert page.status_code == 200, at
    assert units_of(page.text, "damper_signal") == ["%", "V", "mV"]
    given = {"speed": first["speed"], "outdoor_air": first["outdoor_air"], "return_air": first["return_air"], "mixed_air": ", ".join(first["mixed_air"])}  # fmt: skip
    answer = client.post(at, {"once": "1" * 32, **given, "instrument": first.get("instrument", ""), "damper_signal": "6.2 ± 0.1", "damper_signal.unit": "V"})  # fmt: skip
    assert answer.status_code == 200, words(answer.text)
    assert entries(client)[-1]["damper_signal"] == "6.2 V ± 0.1"


def test_a_minimum_is_read_back_in_volts(client: Client) -> None:
    """Of the settings: kept as the meter showed it, shown in per cent beside it."""
    number = setting_at(client)
    page = client.get(f"{AT}/set/{number}").text
    assert units_of(page, "value") == ["%", "V", "mV"]
    assert '"V": [2.0, 10.0, 0.0]' in unescape(page)
    answer = client.post(f"{AT}/set/{number}", {"once": "1" * 32, "value": METERED, "do": "typed"})
    assert answer.status_code == 200, words(answer.text)
    assert entries(client)[-1]["value"] == METERED
    assert f"52.5 % ± 1.2 % ({METERED})" in words(client.get(f"{AT}/set").text)


def test_beyond_what_the_kit_sends_is_refused_in_volts(client: Client) -> None:
    answer = client.post(f"{AT}/set/{setting_at(client)}", {"once": "1" * 32, "value": "12 V", "do": "typed"})
    assert answer.status_code == 422
    assert "is outside the kit's range of signal; accepted: 2 V to 10 V, or 0 % to 100 %" in words(
        answer.text
    )


def test_a_year_later_volts_drift_like_per_cent(client: Client) -> None:
    """As on the command line: 3.7 V ± 0.05 V is 21 % as it was left; bare volts say nothing of how closely."""
    for once, typed, said in (
        ("1", "3.7 V ± 0.05 V", "21.3 % ± 0.6 % at minimum, left at 21 %"),
        ("2", "3.7 V", "does not say how closely it was read"),
        ("3", METERED, "✕ Drifted 1 of 4"),
    ):
        answer = client.post(f"{AT}/recheck/signal", {"once": once * 32, "value": typed})
        assert answer.status_code == 200, words(answer.text)
        assert said in words(answer.text)
        assert entries(client)[-1]["value"] == typed


@pytest.mark.parametrize(
    ("metered", "verdict"),
    [
        ("3.7 V ± 0.02 V", "passes"),  # 21.25 % ± 0.25 %, of 21.3 % ± half a step of 1 %
        ("3.7 V ± 0.1 V", "cannot_tell"),  # the meter reads too coarsely
        ("3.7 V", "cannot_tell"),  # nobody knows how closely
        ("6.2 V ± 0.1 V", "fails"),
    ],
)
def test_a_chosen_minimum_is_judged_by_the_meters_band(client: Client, metered: str, verdict: str) -> None:
    """Where the plan is no guess, a signal that was metered passes only as far as the meter can tell."""
    document = client.document(DEMO)
    label = work(read_job(document)).plan.settings[setting_at(client) - 1].label
    document["plan"] = {"choices": [{"label": label, "value": "21.3 %", "reason": "asked for"}]}
    last = document["readings"]["entries"][-1]
    document["readings"]["entries"].append(
        {"what": "setting", "id": "metered", "at": last["at"], "visit": last["visit"], "label": label, "value": metered}
    )  # fmt: skip
    found = {one.id: one for one in work(read_job(document)).verdicts.settings}
    assert found[f"setting.{label}"].verdict.value == verdict


def test_where_it_stands_meanwhile(client: Client) -> None:
    given = {"told": "manager, by phone", "damper": "at ventilation", "damper_signal": "6.2 ± 0.1", "damper_signal.unit": "V"}  # fmt: skip
    answer = client.post(f"{AT}/leave", {"once": "1" * 32, **given})
    assert answer.status_code == 200, words(answer.text)
    assert entries(client)[-1]["damper_signal"] == "6.2 V ± 0.1"


def test_as_a_fault_is_looked_for(client: Client) -> None:
    """The same evidence as its share of the stroke; beyond the kit's range it is refused."""
    at = f"{AT}/find/measure/run.cool_1"
    assert units_of(client.get(at).text, "damper-signal") == ["%", "V", "mV"]
    refused = client.post(at, {"once": "1" * 32, "damper-signal": "1.2 V"})
    assert refused.status_code == 422
    assert "is outside the kit's range of signal" in words(refused.text)
    client.post(at, {"once": "2" * 32, "damper-signal": METERED})
    kept = entries(client)[-1]
    assert kept["found"] == [{"reads": "damper signal", "value": METERED}]
    job = read_job(client.document(DEMO))
    sent = find("kits", "two-speed-dry-bulb", Kit).damper_signal
    (found,) = (one for one in job.readings.standing(FaultFinding) if one.id == kept["id"])
    assert found.values(sent)[0] == pytest.approx(0.525)


def test_a_kit_that_sends_milliamperes(tmp_path: Path) -> None:
    """4 mA to 20 mA, in a file of one's own: typed, kept and shown in milliamperes; volts are none of its signals."""
    text = files("ventwright.tables").joinpath("equipment", "kits", "two-speed-dry-bulb.yaml").read_text()
    path = tmp_path / "loop.yaml"
    path.write_text(text.replace("{closed: 2 V, open: 10 V}", "{closed: 4 mA, open: 20 mA}"))
    signal = read_part(path, Kit).damper_signal
    share = signal.read("12 mA ± 0.2 mA")
    assert (share.value, share.uncertainty) == pytest.approx((0.5, 0.00625))
    assert share.typed == "12 mA ± 0.2 mA"
    sent = signal.sent(share.value, share.uncertainty)
    assert sent is not None
    assert sent.show("us") == sent.show("si") == "12.00 mA ± 0.20 mA"
    with pytest.raises(
        ValueError, match='"6 V" is not a signal of this kit; accepted: 4 mA to 20 mA, or 0 % to 100 %'
    ):
        signal.read("6 V")
