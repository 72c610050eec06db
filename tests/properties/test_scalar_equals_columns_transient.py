"""The scalar and the columnar transient are the same over random starts."""

import pytest
from tests.properties.random_networks import Drawn
from tests.properties.test_scalar_equals_columns_network import drawn_lanes, in_columns
from tests.properties.test_scalar_equals_columns_starting import assert_same, shafts

from ampwright.kernels.columns.lanes import join, lane, widen
from ampwright.kernels.columns.transient import transient as in_time_columns
from ampwright.kernels.starter import Shaft
from ampwright.kernels.transient import transient

STEPS = 256


def with_reactance(one: Drawn) -> Drawn:
    """Return a network whose supply has some reactance, as every real one has."""
    volt, amps = abs(one.source.e_a_v - one.source.e_b_v), one.rotors[0].circuit.rated_current_a
    z = (0.01 + 0.02j) * volt / amps
    source = one.source._replace(z_a_ohm=one.source.z_a_ohm + z, z_b_ohm=one.source.z_b_ohm + z)
    return one._replace(source=source)


def capacitances(one: Drawn, places: str) -> tuple[float, float, float]:
    """Return capacitors that draw a tenth to a third of the idler's rated current."""
    c = one.rotors[0].circuit
    farad = c.rated_current_a / (240.0 * 377.0)
    ab, bc, ca = (
        factor * farad if place in places else 0.0
        for place, factor in (("ab", 0.1), ("bc", 0.2), ("ca", 0.35))
    )
    return ab, bc, ca


@pytest.mark.parametrize("places", ["", "ca", "bc ca", "ab bc ca"])
def test_random_transients(places: str) -> None:
    lanes = [with_reactance(one) for one in drawn_lanes(2, 0, 12)]
    wide = in_columns(lanes)
    machines = [shafts(one, k) for k, one in enumerate(lanes)]
    inertias = join([widen(tuple(m.inertia_kg_m2 for m in own), 1) for own in machines])
    together = [
        Shaft(rotor._replace(main_flux=None), inertia, 0.01)
        for rotor, inertia in zip(wide.rotors, inertias, strict=True)
    ]
    ab, bc, ca = join([widen(capacitances(one, places), 1) for one in lanes])
    farads = ab if "ab" in places else 0.0, bc if "bc" in places else 0.0, ca if places else 0.0
    found = in_time_columns(
        wide.source, farads,
        together[:1], together[1], duration_s=0.05, switching_rad=0.3, steps_per_period=STEPS,
    )  # fmt: skip
    found = found._replace(periods=found.periods[:2])
    for k, one in enumerate(lanes):
        own = [shaft._replace(rotor=shaft.rotor._replace(main_flux=None)) for shaft in machines[k]]
        alone = transient(
            one.source, capacitances(one, places), own[:1], own[1],
            duration_s=2.0 / own[0].rotor.circuit.frequency_hz,
            switching_rad=0.3, steps_per_period=STEPS,
        )  # fmt: skip
        other = lane(found, k)
        assert_same(alone.periods, other.periods)
