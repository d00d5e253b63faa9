"""Invented source waters: kinds, their alkalinity and other anions drawn log-normally, and the ions that go with them.

The medians and widths are the priors the planner itself starts from (our estimates, not a survey). The ion patterns
are invented too: plausible shares of each ion, jittered, and nobody's analysis.
"""

import math

# kind: (median alkalinity meq/kgw, ln sd, median other anions meq/kgw, ln sd, median log10 pCO2 in atm, sd).
KINDS = {
    "ro": (0.08, 1.1, 0.08, 1.1, -2.6, 0.45),
    "rain": (0.06, 1.35, 0.10, 1.1, -3.2, 0.25),
    "soft": (0.6, 0.75, 0.5, 0.8, -2.7, 0.35),
    "medium": (2.0, 0.6, 1.5, 0.75, -2.7, 0.35),
    "hard": (4.0, 0.55, 2.5, 0.75, -2.7, 0.35),
    "softened": (4.5, 0.67, 2.5, 0.9, -1.9, 0.35),
    "hard_well": (5.5, 0.6, 2.2, 0.9, -1.9, 0.35),
}
# Shares of the cation equivalents, and of the equivalents of the anions other than carbonate; silica in mmol/kgw.
CATIONS = {
    "ro": {"Na": 0.80, "Ca": 0.10, "Mg": 0.05, "K": 0.05},
    "rain": {"Na": 0.35, "Ca": 0.30, "Mg": 0.12, "K": 0.05, "NH4": 0.18},
    "soft": {"Ca": 0.50, "Mg": 0.16, "Na": 0.30, "K": 0.04},
    "medium": {"Ca": 0.54, "Mg": 0.19, "Na": 0.25, "K": 0.02},
    "hard": {"Ca": 0.66, "Mg": 0.20, "Na": 0.13, "K": 0.01},
    "softened": {"Na": 0.97, "Ca": 0.015, "Mg": 0.005, "K": 0.01},
    "hard_well": {"Ca": 0.68, "Mg": 0.22, "Na": 0.09, "K": 0.01},
}
ANIONS = {
    "ro": {"Cl": 0.90, "SO4": 0.06, "NO3": 0.04},
    "rain": {"Cl": 0.45, "SO4": 0.32, "NO3": 0.23},
    "soft": {"Cl": 0.52, "SO4": 0.42, "NO3": 0.06},
    "medium": {"Cl": 0.47, "SO4": 0.45, "NO3": 0.08},
    "hard": {"Cl": 0.42, "SO4": 0.47, "NO3": 0.11},
    "softened": {"Cl": 0.45, "SO4": 0.42, "NO3": 0.13},
    "hard_well": {"Cl": 0.38, "SO4": 0.44, "NO3": 0.18},
}
SILICA = {"ro": 0.0, "rain": 0.0, "soft": 0.08, "medium": 0.15, "hard": 0.2, "softened": 0.25, "hard_well": 0.25}
VALENCE = {"Ca": 2, "Mg": 2, "Na": 1, "K": 1, "NH4": 1, "Cl": 1, "SO4": 2, "NO3": 1}
SHARE_LN_SD = 0.3  # jitter of each share
ORDER = ["Ca", "Mg", "Na", "K", "NH4", "NO3", "Cl", "SO4", "P", "C", "Si", "B", "Cit"]


def fat(x):
    """A standard normal coordinate with fatter tails, as the planner's prior of alkalinity has."""
    return x * (0.85 + 0.07 * x * x)


def shared(rng, pattern, equivalents):
    """Splits the equivalents over the ions of a pattern, jittered; mmol/kgw."""
    raw = {ion: share * math.exp(rng.gauss(0.0, SHARE_LN_SD)) for ion, share in pattern.items()}
    whole = sum(raw.values())
    return {ion: equivalents * share / whole / VALENCE[ion] for ion, share in raw.items()}


def draw(rng, kind):
    """One water without its carbon: totals in mmol/kgw, and log10 of the CO2 pressure it holds."""
    alk, alk_sd, other, other_sd, pco2, pco2_sd = KINDS[kind]
    alkalinity = alk * math.exp(alk_sd * fat(rng.gauss(0.0, 1.0)))
    anions = other * math.exp(other_sd * rng.gauss(0.0, 1.0))
    totals = shared(rng, CATIONS[kind], alkalinity + anions)
    totals.update(shared(rng, ANIONS[kind], anions))
    if SILICA[kind] > 0.0:
        totals["Si"] = SILICA[kind] * math.exp(rng.gauss(0.0, 0.3))
    return totals, rng.gauss(pco2, pco2_sd)


def rounded(totals):
    """Totals in the files' order, rounded to 5 decimals (0.01 umol/kgw), zeros left out.

    The engine is always given the rounded totals, so that the file states exactly what was solved.
    """
    out = {name: round(totals[name], 5) for name in ORDER if name in totals}
    return {name: amount for name, amount in out.items() if amount > 0.0}


def added(totals, *more):
    """The sum of several totals."""
    out = dict(totals)
    for other in more:
        for name, amount in other.items():
            out[name] = out.get(name, 0.0) + amount
    return out


CHARGE = {"Ca": 2, "Mg": 2, "Na": 1, "K": 1, "NH4": 1, "NO3": -1, "Cl": -1, "SO4": -2, "P": -1, "Cit": -1}


def conservative_alkalinity(totals):
    """Alkalinity in meq/kgw from the totals alone, with H2PO4-, H2Cit-, NH4+ and CO2 as the zero level."""
    return sum(CHARGE.get(name, 0) * amount for name, amount in totals.items())
