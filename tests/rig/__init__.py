"""A second simulator: other laws for what a prediction model is most easily wrong about.

It shares with `tests.generator` what is bookkeeping (balance of flows, work on the gas, friction,
belt, dyno and its noise) and has laws of its own for breathing, leakage, the charge cooler and
knock. Neither imports anything of specgen. Where the two simulators and the model differ, and
what each rests on ("memory": not seen; "practice": common practice, no source):

Breathing
    model: a usual curve over speed, bent by what was measured; residual gas expands without loss
    (Rajput, Ex 7.9).
    `tests.generator`: flow limit 1/(1 + Z^4) (Taylor, memory), Gaussian tuning, residual gas as
    the model, ports that warm a tenth of the way (practice).
    here: pressure lost in the valves by compressible nozzle flow (Saint-Venant and Wantzel,
    memory), a damped quarter wave that moves with the speed of sound, residual gas by the ideal
    cycle's gas exchange (Heywood, memory) and swept out by boost, ports by transfer units (Dittus
    and Boelter, memory), more fuel evaporated by hot air (practice).
Leakage
    model: an orifice, slip speed with the root of the pressure difference (McDougald, Imrie and
    Cole, 1974). `tests.generator`: an orifice (Saint-Venant and Wantzel, memory).
    here: turbulent flow in a narrow gap, with the power 4/7 of the difference of squared pressures
    (Blasius, memory); the gap closes as rotors warm, and lobes carry gas back (practice).
Charge cooler
    model: an effectiveness known at one point. `tests.generator`: counter-flow, transfer units
    falling with flow^0.4 (Kays and London, memory).
    here: cross-flow, both unmixed (Kays and London, memory), the air's and the water's side in
    series (Dittus and Boelter, memory), and a coolant that its own heat warms (practice).
Knock
    model: at most octane numbers short, by published slopes. `tests.generator`: the same slopes
    (Russ, SAE 960497, abstract) in degrees of spark, exp(-c x^2) for what they cost (practice).
    here: ignition delay of the end gas (Douaud and Eyzat, SAE 780080, memory) against the time it
    has, chilled by its fuel; cosine of the late angle for what that costs (practice).
"""

from tests.generator.laws import Laws
from tests.rig.breathing import swallowed_share
from tests.rig.clearance import carried_back
from tests.rig.cooler import cross_flow
from tests.rig.end_gas import knock_by_delay, late_by_cosine

#: This simulator's laws, for `tests.generator.run`.
RIG = Laws(swallowed_share, carried_back, cross_flow, knock_by_delay, late_by_cosine)

__all__ = ["RIG"]
