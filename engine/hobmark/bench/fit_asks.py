"""What a supplier asks of a kind of part beside its dimensions, filled in from the bench record and the papers."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from hobmark.bench.account import Account
from hobmark.bench.fit import PartFit
from hobmark.bench.fit_pressure import measured_words, reading_at_jets
from hobmark.bench.gas import nearest_drill
from hobmark.bench.jets import FORMULA
from hobmark.bench.orders import places_for
from hobmark.bench.places import Heat, heats_of
from hobmark.knowledge.quantities import Unit, quantity
from hobmark.knowledge.schema.bench import Mark
from hobmark.knowledge.schema.record_terms import JetPlace, PressureAt


@dataclass(frozen=True, slots=True)
class Told:
    """What is known of one thing that a supplier asks; `is_setting`: a number that something is set or drilled by."""

    value: str
    source: str
    is_setting: bool = True


class Asks:
    """What a supplier asks of a kind of part, filled in as far as it is known, each with its unit and its grounds."""

    def __init__(self, fit: PartFit, account: Account | None, place: JetPlace | None) -> None:
        """What is known: of the gas only with an account, of one place or of all that the part may stand at."""
        self.fit, self.account = fit, account
        self.gas = fit.gas.gas or (account.laid_on if account is not None else None)
        self.wanted = fit.gas.wanted
        self.heat = self._heat(place)

    def told(self) -> dict[str, Told | None]:
        """Each thing that is asked of the kind, by its id; None where it is left blank."""
        known: Mapping[str, Callable[[], Told | None]] = {
            "gas": self._gas,
            "heat": self._heat_told,
            "height": self._height,
            "pressure": self._pressure,
            "drill": self._drill,
            "outlet": self._outlet,
            "capacity": self._capacity,
        }
        return {
            name: known[name]() if name in known and self.account is not None else None for name in self.fit.kind.ask
        }

    def _heat(self, place: JetPlace | None) -> Heat | None:
        """The heat of its burner, where it is one figure for all the places that the part may stand at."""
        if self.account is None:
            return None
        there = {each.place for each in self.account.places}
        places = (place,) if place is not None else tuple(each for each in places_for(self.fit) if each in there)
        found = heats_of(self.fit.examination, self.account.record, places)
        one = set(found.values())
        return one.pop() if len(one) == 1 and len(found) == len(places) else None

    def _gas(self) -> Told | None:
        if self.account is None or self.gas is None:
            return None
        label = self.fit.base.bench.gases[self.gas].label
        if self.wanted:
            return Told(f"{label}, as wanted", "the bench record", is_setting=False)
        by = self.account.record.laid_on.by if self.account.record.laid_on is not None else None
        how = (
            f"laid on, by {by.value.replace('_', ' ')}"
            if by is not None
            else "laid on, as told; not shown by anything yet"
        )
        return Told(f"{label}, {how}", "the bench record", is_setting=False)

    def _heat_told(self) -> Told | None:
        if self.heat is None:
            return None
        return Told(quantity(self.heat.btu_h, Unit.BTU_H).text, f"{self.heat.source}; {self.heat.mark.value}")

    def _height(self) -> Told | None:
        told = self.account.record.altitude if self.account is not None else None
        return Told(told, "the bench record", is_setting=False) if told is not None else None

    def _pressure(self) -> Told | None:
        """The pressure at the jet: read at the manifold or as it is usual; one read elsewhere is not called so."""
        supply = self.fit.gas.supply
        if self.account is None or supply is None or self.gas is None:
            return None
        row = self.fit.base.bench.gases[self.gas]
        value = quantity(supply.pressure, Unit.INCH_WC).text
        if self.gas is not self.account.laid_on or self.account.pressure is None:
            return Told(value, f"usual, not measured: {row.pressure.source or ''}; {row.pressure.mark.value}")
        at_jet = "" if self._is_read_at_jet else "not read there; ahead of it "
        return Told(f"{at_jet}{value}", measured_words(self.account))

    @property
    def _is_read_at_jet(self) -> bool:
        read = reading_at_jets(self.account) if self.account is not None else None
        return read is not None and read.at is PressureAt.MANIFOLD

    def _drill(self) -> Told | None:
        """The drill for the heat at the pressure and the height there; none by figures that have no source."""
        check = self.fit.gas
        if self.account is None or check.supply is None or check.feet is None or self.heat is None or self.gas is None:
            return None
        if self.fit.base.bench.gases[self.gas].mark is Mark.ASSUMED:
            return None
        try:
            drill = nearest_drill(check.supply.bore_for(self.heat.btu_h), self.fit.base.bench.drills)
        except ValueError:
            return None
        bore = quantity(drill.bore, Unit.INCH).to(Unit.MILLIMETRE)
        value = (
            f"{drill.nearest.called}, {drill.nearest.inches:.4f} in.; worked out {drill.bore:.4f} in. ({bore:.2f} mm)"
        )
        grounds = f"computed: {FORMULA}, with gas, heat, pressure and height as they stand here"
        elsewhere = self.gas is self.account.laid_on and self.account.pressure is not None and not self._is_read_at_jet
        return Told(value, f"{grounds}; the pressure was not read at the jet" if elsewhere else grounds)

    def _outlet(self) -> Told | None:
        row = self.fit.base.bench.gases[self.gas] if self.gas is not None else None
        if row is None or row.pressure.mark is Mark.ASSUMED:
            return None
        low, high = row.pressure_band
        span = f"{low:g} to {high:g}" if low < high else f"{low:g}"
        return Told(f"{span} in. w.c.", f"{row.pressure.source or ''}; {row.pressure.mark.value}")

    def _capacity(self) -> Told | None:
        """All burners together, where the heat of each is known."""
        burners = (
            [each for each in self.account.to_light if not each.place.is_pilot] if self.account is not None else []
        )
        heats = [each.heat for each in burners]
        known = [heat for heat in heats if heat is not None]
        if not known or len(known) < len(heats):
            return None
        sources = "; ".join(dict.fromkeys(heat.source for heat in known))
        return Told(
            quantity(sum(heat.btu_h for heat in known), Unit.BTU_H).text, f"sum over {len(known)} burners: {sources}"
        )
