"""Invented tanks, solved by the outside engine: what a tank truly holds, for checking what is inferred from a reading.

    python make_tanks.py --seed 815 --count 200 --out tanks.json

Each tank is a source water, a feed, perhaps an acid or base, a carbon dioxide state, and perhaps what plants took out
of it. There is no reading error in the file; the test that reads it adds its own.
"""

import argparse
import json
import math
import random
import sys

sys.dont_write_bytecode = True

import engine
import waters

# The one feed: an invented dry powder; 1 g of it, as grams of salt, and the same in mmol.
FEED_SALT_G = {"Ca(NO3)2": 0.42, "KNO3": 0.28, "MgSO4": 0.17, "KH2PO4": 0.10, "NH4NO3": 0.03}
# As weighed: Ca(NO3)2.4H2O, KNO3, MgSO4.7H2O, KH2PO4, NH4NO3; g/mol from the IUPAC standard atomic weights.
MOLAR_MASS_G = {"Ca(NO3)2": 236.15, "KNO3": 101.10, "MgSO4": 246.47, "KH2PO4": 136.08, "NH4NO3": 80.04}
FEED_MMOL_PER_G = {salt: round(1e3 * g / MOLAR_MASS_G[salt], 4) for salt, g in FEED_SALT_G.items()}

TEMPERATURE_C = (15.0, 28.0)
AIR_PPM, ROOM_PPM = 420.0, 1500.0  # at 1 atm, dry
CALCITE_LIMIT = 1.2  # a water beyond it would long have dropped its lime
PH_KEPT = (3.8, 8.9)  # a tank beyond it is drawn again

# What plants took, as shares of what was there: the median of one common share and each nutrient's pull relative to it.
UPTAKE_MEDIAN, UPTAKE_LN_SD = 0.18, 0.6
UPTAKE_PULL = {"NO3": 1.0, "K": 1.1, "P": 1.3, "NH4": 2.0, "Ca": 0.55, "Mg": 0.5, "SO4": 0.4}


def log10_atm(ppm):
    return math.log10(ppm * 1e-6)


def feed(grams):
    """The totals that so many grams of the feed add, mmol per kg of water."""
    out = {}
    for salt, mmol in FEED_MMOL_PER_G.items():
        for name, count in engine.STOICHIOMETRY[salt].items():
            out[name] = out.get(name, 0.0) + count * mmol * grams
    return out


def dosed(totals, acid_mmol):
    """Phosphoric acid for a positive amount, potassium hydroxide for a negative one."""
    return waters.added(totals, {"P": acid_mmol} if acid_mmol > 0.0 else {"K": -acid_mmol})


def acid_for(solver, totals, temperature_c, target_ph, log10_pco2):
    """The phosphoric acid (or, negative, potassium hydroxide) in mmol/kgw that brings the totals to a pH."""

    def ph(acid_mmol):
        return solver.solve(waters.rounded(dosed(totals, acid_mmol)), temperature_c, log10_pco2).ph

    low, high = -2.0, 25.0
    for _ in range(40):
        middle = 0.5 * (low + high)
        low, high = (middle, high) if ph(middle) > target_ph else (low, middle)
    return 0.5 * (low + high)


def taken(rng, totals):
    """What plants took out, mmol/kgw; roots make up the charge with H+ or HCO3-, which the balance does by itself."""
    common = UPTAKE_MEDIAN * math.exp(rng.gauss(0.0, UPTAKE_LN_SD))
    shares = {n: min(0.8, common * pull * math.exp(rng.gauss(0.0, 0.25))) for n, pull in UPTAKE_PULL.items()}
    return {name: share * totals[name] for name, share in shares.items() if totals.get(name, 0.0) > 0.0}


def draw_water(rng, solver, kind, temperature_c):
    """A source water with its carbon; its CO2 is drawn anew while it would drop lime."""
    totals, log10_pco2 = waters.draw(rng, kind)
    for _ in range(200):
        opened = solver.solve(waters.rounded(totals), temperature_c, log10_pco2)
        calcite = opened.si["calcite"]
        if calcite is None or calcite <= CALCITE_LIMIT:
            return waters.rounded({**totals, "C": opened.tic_mmol_kgw})
        log10_pco2 = rng.gauss(*waters.KINDS[kind][4:])
    return None


def draw_tank(rng, solver, kind, history):
    """One tank, or None where a water or pH came out that no one would keep."""
    temperature_c = round(rng.uniform(*TEMPERATURE_C), 1)
    water = draw_water(rng, solver, kind, temperature_c)
    if water is None:
        return None
    grams = 0.0 if history == "water" else round(math.exp(rng.uniform(math.log(0.4), math.log(2.6))), 3)
    mixed = waters.added(water, feed(grams))
    # Fresh: closed, the water's own CO2. Stood or grown: in balance with some CO2 pressure.
    log10_pco2 = {
        "water": None,
        "fresh": None,
        "stood": rng.gauss(log10_atm(AIR_PPM), 0.12),
        "grown": rng.gauss(-3.2, 0.25),
    }[history]
    out = taken(rng, mixed) if history == "grown" else {}
    mixed = {name: amount - out.get(name, 0.0) for name, amount in mixed.items()}
    acid_mmol = 0.0
    if history == "grown" or (history in ("fresh", "stood") and rng.random() < 0.55):
        # Someone brought it near a pH they liked; where it then stood is what a carried-over tank shows.
        target_ph = rng.gauss(6.35, 0.85) if history == "grown" else rng.gauss(6.0, 0.5)
        acid_mmol = acid_for(solver, mixed, temperature_c, target_ph, log10_pco2)
        acid_mmol *= math.exp(rng.gauss(0.0, 0.1))
        acid_mmol = round(acid_mmol, 4)
    mixed = dosed(mixed, acid_mmol)
    if log10_pco2 is not None:
        mixed["C"] = solver.solve(waters.rounded(mixed), temperature_c, log10_pco2).tic_mmol_kgw
    totals = waters.rounded(mixed)
    tank = solver.solve(totals, temperature_c)
    if not PH_KEPT[0] <= tank.ph <= PH_KEPT[1]:
        return None
    return {
        "kind": kind,
        "history": history,
        "temperature_C": temperature_c,
        "water": {"totals_mmol_per_kgw": water, **reading(solver, water, temperature_c, with_25=True)},
        "feed_g_per_kgw": grams,
        "acid_mmol_per_kgw": max(acid_mmol, 0.0),
        "base_mmol_per_kgw": max(-acid_mmol, 0.0),
        "uptake_mmol_per_kgw": {name: round(amount, 4) for name, amount in out.items()},
        "tank": {"totals_mmol_per_kgw": totals, **reading(solver, totals, temperature_c)},
        "settled": settled(solver, totals, temperature_c),
        "follow_up": follow_up(rng, solver, totals, temperature_c, tank),
    }


def follow_up(rng, solver, totals, temperature_c, tank):
    """What one more dose does: acid above pH 5.8, base below, some share of what would bring it there."""
    need = acid_for(solver, totals, temperature_c, 5.8, None)
    share = math.exp(rng.uniform(math.log(0.2), math.log(1.1)))
    least = 0.02 if tank.ph > 5.8 else -0.02
    dose = round(need * share if abs(need * share) > abs(least) else least, 4)
    after = waters.rounded(dosed(totals, dose))
    return {
        "acid_mmol_per_kgw": max(dose, 0.0),
        "base_mmol_per_kgw": max(-dose, 0.0),
        "just_mixed": reading(solver, after, temperature_c),
        "settled": settled(solver, after, temperature_c),
    }


def reading(solver, totals, temperature_c, with_25=False):
    """What a perfect instrument would find in the closed water, and a few things it would not."""
    at_t, at_25 = solver.solve(totals, temperature_c), solver.solve(totals, 25.0)
    out = {
        "pH": round(at_t.ph, 4),
        "SC_kohlrausch_at_T_uS_cm": round(at_t.kohlrausch(), 3),
        "SC_kohlrausch_25C_uS_cm": round(at_25.kohlrausch(), 3),
        "SC_25C_uS_cm": round(at_25.sc_us_cm, 3),
        "alkalinity_meq_kgw": round(at_t.alkalinity_meq_kgw, 5),
        "log10_pCO2_atm": None if at_t.log10_pco2_atm is None else round(at_t.log10_pco2_atm, 4),
        "volume_L_per_kgw": round(at_t.volume_l, 6),
    }
    if with_25:
        out["pH_25C"] = round(at_25.ph, 4)
    return out


def settled(solver, totals, temperature_c):
    """Where the pH ends in balance with clean outdoor air and with a closed-up room."""
    return {
        f"pH_{ppm:.0f}ppm": round(solver.solve(totals, temperature_c, log10_atm(ppm)).ph, 4)
        for ppm in (AIR_PPM, ROOM_PPM)
    }


def make(seed, count):
    """`count` tanks; the kinds of water and the histories take turns."""
    rng, solver = random.Random(seed), engine.Engine()
    kinds = list(waters.KINDS)
    histories = ["fresh", "stood", "grown", "fresh", "grown", "stood", "fresh", "grown", "water"]
    tanks, again = [], 0
    while len(tanks) < count:
        k = len(tanks)
        tank = draw_tank(rng, solver, kinds[k % len(kinds)], histories[k % len(histories)])
        if tank is None:
            again += 1
            continue
        tanks.append({"id": f"t{seed}_{k + 1:03d}", **tank})
    print(f"{count} tanks; {again} drawn again")
    return {
        "generator": f"make_tanks.py --seed {seed} --count {count}",
        "engine": engine.ENGINE,
        "database_additions": engine.DATABASE_ADDITIONS,
        "feed_mmol_per_g": FEED_MMOL_PER_G,
        "tanks": tanks,
    }


def write(path, document):
    """One line a tank."""
    head = {key: value for key, value in document.items() if key != "tanks"}
    lines = ",\n".join(json.dumps(tank, separators=(",", ":")) for tank in document["tanks"])
    with open(path, "w", encoding="utf-8", newline="\n") as file:
        file.write(json.dumps(head, indent=1)[:-2] + ',\n "tanks": [\n' + lines + "\n]}\n")


def main():
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--seed", type=int, default=815)
    parser.add_argument("--count", type=int, default=200)
    parser.add_argument("--out", default="tanks.json")
    options = parser.parse_args()
    write(options.out, make(options.seed, options.count))


if __name__ == "__main__":
    main()
