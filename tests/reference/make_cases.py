"""Random solutions, solved by the outside engine, in the same form as solutions.json.

    python make_cases.py --seed 4711 --count 120 --out holdout.json
    python make_cases.py --verify solutions.json

The second form solves every case of a file again and prints how far its numbers are from those of the file.
"""

import argparse
import json
import math
import random
import sys

sys.dont_write_bytecode = True

import engine
import waters

OPEN_AIR_LOG10_PCO2 = -3.38  # 420 ppm, as solutions.json
EC_RANGE_US_CM = (10.0, 15000.0)
PH_RANGE = (1.5, 12.5)
TEMPERATURE_C = (5.0, 35.0)

# Invented feeds, mmol per kg of water at the strength 1 (about 1 mS/cm).
FEEDS = {
    "complete": {"Ca(NO3)2": 1.9, "KNO3": 2.6, "MgSO4": 0.8, "KH2PO4": 0.7, "NH4NO3": 0.3},
    "ammonium": {"Ca(NO3)2": 1.2, "NH4NO3": 1.8, "K2SO4": 1.1, "MgSO4": 0.7, "NH4H2PO4": 0.9},
    "fruiting": {"Ca(NO3)2": 1.7, "KNO3": 1.5, "K2SO4": 0.8, "MgSO4": 1.0, "KH2PO4": 0.6, "KCl": 0.3},
    "no_calcium": {"KNO3": 3.0, "KH2PO4": 1.5, "MgSO4": 1.2, "NH4NO3": 1.0, "H3BO3": 0.05},
    "chloride": {"CaCl2": 1.5, "KCl": 2.5, "MgCl2": 0.6, "NH4Cl": 0.8, "NaHCO3": 0.4},
    "supplement": {"Ca(NO3)2": 2.6, "Mg(NO3)2": 1.2},
}
ACIDS = {"H3PO4": 1.0, "HNO3": 1.0, "H2SO4": 2.0, "citric_acid": 1.5, "HCl": 1.0}  # eq/mol near pH 5.5, for scaling
BASES = {"KOH": 1.0, "K2CO3": 2.0, "K2SiO3": 2.0, "NaOH": 1.0, "KHCO3": 1.0, "K2HPO4": 1.0}


def salts(additions):
    """The totals that salts, acids and bases add."""
    out = {}
    for salt, amount in additions.items():
        for name, count in engine.STOICHIOMETRY[salt].items():
            out[name] = out.get(name, 0.0) + count * amount
    return out


def strength(rng):
    """How strong the feed is: from a trace to beyond what plants stand, evenly in the logarithm."""
    return math.exp(rng.uniform(math.log(0.05), math.log(13.0)))


def draw(rng, k):
    """The k-th random solution; the kinds take turns so that a small file still holds every one of them."""
    kind = rng.choice(sorted(waters.KINDS))
    water, log10_pco2 = waters.draw(rng, kind)
    group = ("water", "feed", "feed_acid", "feed_base", "water_acid", "water_base", "salts", "feed_acid")[k % 8]
    additions, title = {}, kind
    if group.startswith("feed"):
        feed = rng.choice(sorted(FEEDS))
        times = strength(rng)
        additions = {salt: times * amount * math.exp(rng.gauss(0.0, 0.2)) for salt, amount in FEEDS[feed].items()}
        title += f" + {feed} feed"
    if group == "salts":
        kind, water, log10_pco2 = "pure", {}, -3.38
        chosen = rng.sample(sorted(engine.STOICHIOMETRY), rng.randint(1, 5))
        additions = {salt: math.exp(rng.uniform(math.log(0.05), math.log(20.0))) for salt in chosen}
        title = "mixture of " + ", ".join(chosen)
    # From a tenth of the alkalinity to far beyond it.
    scale = abs(waters.conservative_alkalinity(water)) + 0.1
    if group.endswith("_acid"):
        acid = rng.choice(sorted(ACIDS))
        additions[acid] = scale * math.exp(rng.uniform(math.log(0.1), math.log(8.0))) / ACIDS[acid]
        title += f" + {acid}"
    if group.endswith("_base"):
        base = rng.choice(sorted(BASES))
        additions[base] = scale * math.exp(rng.uniform(math.log(0.1), math.log(8.0))) / BASES[base]
        title += f" + {base}"
    if rng.random() < 0.3:
        additions["CO2"] = math.exp(rng.uniform(math.log(0.01), math.log(2.0)))
        title += " + CO2"
    additions = {salt: round(amount, 4) for salt, amount in additions.items()}
    temperature_c = round(rng.uniform(*TEMPERATURE_C), 1)
    return group, title, kind, water, log10_pco2, additions, temperature_c


def state(at_t, at_25):
    """One solved state under the names of solutions.json."""

    def r(value, digits):
        return None if value is None else round(value, digits)

    return {
        "pH": r(at_t.ph, 4),
        "SC_at_T_uS_cm": r(at_t.sc_us_cm, 3),
        "SC_25C_uS_cm": r(at_25.sc_us_cm, 3),
        "SC_kohlrausch_at_T_uS_cm": r(at_t.kohlrausch(), 3),
        "SC_kohlrausch_25C_uS_cm": r(at_25.kohlrausch(), 3),
        "ionic_strength_mol_kgw": r(at_t.ionic_strength, 7),
        "alkalinity_meq_kgw": r(at_t.alkalinity_meq_kgw, 5),
        "TIC_mmol_kgw": r(at_t.tic_mmol_kgw, 6),
        "log10_pCO2_atm": r(at_t.log10_pco2_atm, 4),
        "density_kg_L": r(at_t.density_kg_l, 6),
        "solution_volume_L": r(at_t.volume_l, 6),
        "water_activity": r(at_t.water_activity, 6),
        "viscosity_mPas": r(at_t.viscosity_mpas, 5),
        "SI": {mineral: r(si, 4) for mineral, si in at_t.si.items()},
    }


def both_states(solver, totals, temperature_c):
    """The closed and the open state of a solution, each also at 25 C."""
    closed = solver.solve(totals, temperature_c)
    opened = solver.solve(totals, temperature_c, OPEN_AIR_LOG10_PCO2)
    opened_totals = {**totals, "C": opened.tic_mmol_kgw}
    return {
        "closed": state(closed, solver.solve(totals, 25.0)),
        "open_air": state(opened, solver.solve(opened_totals, 25.0)),
    }


def plausible(states):
    """True inside the range in which the planner is meant to work."""
    return all(
        EC_RANGE_US_CM[0] <= s[ec] <= EC_RANGE_US_CM[1] and PH_RANGE[0] <= s["pH"] <= PH_RANGE[1]
        for s in states.values()
        for ec in ("SC_kohlrausch_at_T_uS_cm", "SC_kohlrausch_25C_uS_cm")
    )


def make(seed, count):
    """`count` plausible random cases; draws outside the range, or that the engine refuses, are drawn again."""
    rng, solver = random.Random(seed), engine.Engine()
    cases, refused, outside = [], 0, 0
    while len(cases) < count:
        group, title, kind, water, log10_pco2, additions, temperature_c = draw(rng, len(cases))
        try:
            if kind != "pure":
                carbon = solver.solve(waters.rounded(water), temperature_c, log10_pco2).tic_mmol_kgw
                water = {**water, "C": carbon}
            totals = waters.rounded(waters.added(water, salts(additions)))
            states = both_states(solver, totals, temperature_c)
        except engine.EngineError:
            refused += 1
            continue
        if not plausible(states):
            outside += 1
            continue
        cases.append({
            "id": f"s{seed}_{len(cases) + 1:03d}",
            "group": group,
            "title": title,
            "temperature_C": temperature_c,
            "water_kg": 1.0,
            "source_water": kind,
            "additions_mmol_per_kgw": additions,
            "totals_mmol_per_kgw": totals,
            "strong_ion_difference_meq_kgw": round(strong_ion_difference(totals), 5),
            "phreeqc": states,
        })
    print(f"{count} cases; drawn again: {outside} outside the range, {refused} refused by the engine")
    return {
        "generator": f"make_cases.py --seed {seed} --count {count}",
        "engine": engine.ENGINE,
        "database_additions": engine.DATABASE_ADDITIONS,
        "conventions": "as solutions.json; see README.md",
        "cases": cases,
    }


def strong_ion_difference(totals):
    """Cations less the anions of strong acids, meq/kgw: phosphate and citrate do not count."""
    weak = {"P": 0.0, "Cit": 0.0}
    return waters.conservative_alkalinity({**totals, **weak})


def write(path, document):
    """One line a case: small, and a change of one case is a change of one line."""
    head = {key: value for key, value in document.items() if key != "cases"}
    lines = ",\n".join(json.dumps(case, separators=(",", ":")) for case in document["cases"])
    with open(path, "w", encoding="utf-8", newline="\n") as file:
        file.write(json.dumps(head, indent=1)[:-2] + ',\n "cases": [\n' + lines + "\n]}\n")


def verify(path):
    """Solves the cases of a file again; prints the worst deviation of each number, and the limiting-law check."""
    with open(path, encoding="utf-8") as file:
        document = json.load(file)
    same = document["database_additions"] == engine.DATABASE_ADDITIONS
    print(f"{path}: {len(document['cases'])} cases; database additions {'the same' if same else 'DIFFER'}")
    solver, worst = engine.Engine(), {}
    for case in document["cases"]:
        again = both_states(solver, case["totals_mmol_per_kgw"], case["temperature_C"])
        for which, mine in again.items():
            theirs = case["phreeqc"][which]
            for name, value in flat(mine):
                compare(worst, name, value, dict(flat(theirs))[name], f"{case['id']} {which}")
    good = same
    for name, (absolute, relative, at) in sorted(worst.items()):
        # 1e-3 of the value, or the last digits of small numbers.
        good = good and (relative < 1e-3 or absolute < 2e-4)
        print(f"  {name:28s} largest difference {absolute:.3g}, of the value {relative:.2e}, at {at}")
    for totals in (
        {"K": 0.001, "Ca": 0.001, "Cl": 0.0035},
        {"K": 0.010, "P": 0.001, "Cl": 0.003},
        {"Na": 0.0132, "Cit": 0.001, "Cl": 0.008, "SO4": 0.001},
    ):
        for temperature_c in (5.0, 25.0, 35.0):
            dilute = solver.solve({name: amount * 0.01 for name, amount in totals.items()}, temperature_c)
            ratio = dilute.kohlrausch() / dilute.limiting()
            good = good and abs(ratio - 1.0) < 1e-3
            print(f"  sum over limiting law at {temperature_c} C, {totals}: {ratio:.5f}")
    return good


def flat(states):
    """The numbers of one state, the saturation indices among them."""
    for name, value in states.items():
        if isinstance(value, dict):
            yield from ((f"SI {inner}", number) for inner, number in value.items())
        else:
            yield name, value


def compare(worst, name, mine, theirs, at):
    """Keeps the largest difference of each number; a number on one side only counts as infinitely far."""
    if mine is None and theirs is None:
        return
    if mine is None or theirs is None:
        worst[name] = (math.inf, math.inf, at)
        return
    absolute = abs(mine - theirs)
    relative = absolute / abs(theirs) if theirs else 0.0
    if name not in worst or absolute > worst[name][0]:
        worst[name] = (absolute, relative, at)


def main():
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--seed", type=int, default=4711)
    parser.add_argument("--count", type=int, default=120)
    parser.add_argument("--out", default="holdout.json")
    parser.add_argument("--verify", metavar="FILE", help="solve the cases of FILE again instead of making new ones")
    options = parser.parse_args()
    if options.verify:
        sys.exit(0 if verify(options.verify) else "does not reproduce the file")
    else:
        write(options.out, make(options.seed, options.count))


if __name__ == "__main__":
    main()
