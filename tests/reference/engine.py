"""Runs the outside engine (IPhreeqc 3.8.6 inside the pyEQL wheel) on one solution and reads what the case files hold.

IPhreeqc is a general geochemistry code of the US Geological Survey, in the public domain. Nothing here is our own
chemistry, save for one derived number, `SC_kohlrausch`, which is explained at `kohlrausch`.
"""

from importlib import resources

from pyEQL._phreeqc import PyIPhreeqc
from pyEQL.phreeqc.var import Var

ENGINE = "IPhreeqc 3.8.6 (bundled in the pyEQL 1.7.0 wheel), phreeqc.dat of 22 May 2024 + additions below"

# Citrate: log K and enthalpies of minteq.v4 (NIST 46); ion sizes and diffusion coefficients are our estimates.
# Brushite: minteq.v4. Struvite: Ohlinger et al. (1998), from memory.
DATABASE_ADDITIONS = """
SOLUTION_MASTER_SPECIES
Citrate  Citrate-3  2.0  189.102  189.102
SOLUTION_SPECIES
Citrate-3 = Citrate-3
    log_k 0
    -gamma 5.0 0
    -dw 6.23e-10
H+ + Citrate-3 = HCitrate-2
    log_k 6.396
    delta_h 3.3472 kJ
    -gamma 4.5 0
    -dw 6.6e-10
2 H+ + Citrate-3 = H2Citrate-
    log_k 11.157
    delta_h 1.297 kJ
    -gamma 3.5 0
    -dw 8.0e-10
3 H+ + Citrate-3 = H3Citrate
    log_k 14.285
    delta_h -2.7614 kJ
Ca+2 + Citrate-3 = CaCitrate-
    log_k 4.87
    delta_h -8.368 kJ
    -gamma 4.5 0
    -dw 6.0e-10
Ca+2 + Citrate-3 + H+ = CaHCitrate
    log_k 9.26
    delta_h -0.8368 kJ
Ca+2 + Citrate-3 + 2 H+ = CaH2Citrate+
    log_k 12.257
    -gamma 4.5 0
    -dw 6.0e-10
Mg+2 + Citrate-3 = MgCitrate-
    log_k 4.89
    delta_h 8.368 kJ
    -gamma 4.5 0
    -dw 6.0e-10
Mg+2 + Citrate-3 + H+ = MgHCitrate
    log_k 8.91
    delta_h 3.3472 kJ
Mg+2 + Citrate-3 + 2 H+ = MgH2Citrate+
    log_k 12.2
    -gamma 4.5 0
    -dw 6.0e-10
Na+ + Citrate-3 = NaCitrate-2
    log_k 1.03
    delta_h -2.8033 kJ
    -gamma 4.5 0
    -dw 6.0e-10
K+ + Citrate-3 = KCitrate-2
    log_k 1.1
    delta_h 5.4392 kJ
    -gamma 4.5 0
    -dw 6.0e-10
PHASES
Brushite
    CaHPO4:2H2O = Ca+2 + H+ + PO4-3 + 2 H2O
    log_k -18.995
    delta_h 23 kJ
Struvite
    MgNH4PO4:6H2O = Mg+2 + NH4+ + PO4-3 + 6 H2O
    log_k -13.26
END
"""

# Our component names against the engine's, in the order of the files.
ENGINE_NAME = {
    "Ca": "Ca", "Mg": "Mg", "Na": "Na", "K": "K", "NH4": "N(-3)", "NO3": "N(5)", "Cl": "Cl", "SO4": "S(6)",
    "P": "P", "C": "C(4)", "Si": "Si", "B": "B", "Cit": "Citrate",
}
MINERALS = {
    "calcite": "Calcite", "gypsum": "Gypsum", "brushite": "Brushite", "HAP": "Hydroxyapatite",
    "struvite": "Struvite", "SiO2a": "SiO2(a)",
}
# What a salt, acid or base adds, in moles of component per mole; H+ and OH- follow from the charge balance.
STOICHIOMETRY = {
    "KCl": {"K": 1, "Cl": 1}, "NaCl": {"Na": 1, "Cl": 1}, "KNO3": {"K": 1, "NO3": 1}, "Ca(NO3)2": {"Ca": 1, "NO3": 2},
    "Mg(NO3)2": {"Mg": 1, "NO3": 2}, "MgSO4": {"Mg": 1, "SO4": 1}, "K2SO4": {"K": 2, "SO4": 1},
    "KH2PO4": {"K": 1, "P": 1}, "K2HPO4": {"K": 2, "P": 1}, "NH4NO3": {"NH4": 1, "NO3": 1},
    "NH4H2PO4": {"NH4": 1, "P": 1}, "(NH4)2SO4": {"NH4": 2, "SO4": 1}, "NH4Cl": {"NH4": 1, "Cl": 1},
    "NaHCO3": {"Na": 1, "C": 1}, "KHCO3": {"K": 1, "C": 1}, "CaCl2": {"Ca": 1, "Cl": 2}, "MgCl2": {"Mg": 1, "Cl": 2},
    "CaSO4": {"Ca": 1, "SO4": 1}, "Na2SO4": {"Na": 2, "SO4": 1}, "H3BO3": {"B": 1}, "H3PO4": {"P": 1},
    "HNO3": {"NO3": 1}, "H2SO4": {"SO4": 1}, "citric_acid": {"Cit": 1}, "HCl": {"Cl": 1}, "KOH": {"K": 1},
    "K2CO3": {"K": 2, "C": 1}, "K2SiO3": {"K": 2, "Si": 1}, "NaOH": {"Na": 1}, "CO2": {"C": 1},
}

_PUNCH = """
SELECTED_OUTPUT 1
    -reset false
    -high_precision true
USER_PUNCH 1
10 PUNCH -LA("H+"), SC, MU, ALK, TOT("C(4)"), SI("CO2(g)"), RHO, SOLN_VOL, ACT("H2O"), VISCOS
20 PUNCH SI("Calcite"), SI("Gypsum"), SI("Brushite"), SI("Hydroxyapatite"), SI("Struvite"), SI("SiO2(a)")
30 t = SYS("aq", count, name$, type$, moles)
40 FOR i = 1 TO count
50 PUNCH name$(i), MOL(name$(i)), T_SC(name$(i)), DIFF_C(name$(i))
60 NEXT i
"""
_FIXED = 16
# What the engine prints as the index of a mineral (or gas) one of whose components is absent.
_ABSENT = -99.0

# Weight of an ion of charge 1, 2, 3 in the two places of the engine's conductance; see `kohlrausch`.
_SHARE_WEIGHT = {1: 1.0, 2: 4.0, 3: 9.0}
_SUM_WEIGHT = {1: 1.0, 2: 4.0, 3: 7.0}
FARADAY_C_MOL = 96485.33212  # CODATA 2018, exact product
GAS_J_MOL_K = 8.314462618  # CODATA 2018, exact product


class EngineError(Exception):
    """The engine did not converge or refused the input."""


class Engine:
    """One loaded engine; `solve` may be called any number of times."""

    def __init__(self):
        self._ext = PyIPhreeqc()
        self._var = Var()
        self._ext.load_database(str(resources.files("pyEQL.phreeqc.database") / "phreeqc.dat"))
        self._run(DATABASE_ADDITIONS)
        self._run(_PUNCH + "END\n")

    def _run(self, text):
        self._ext.run_string(text)
        error = self._ext.get_error_string()
        if error:
            raise EngineError(error.strip())

    def _row(self, row):
        values = []
        for column in range(self._ext.get_selected_output_column_count()):
            self._ext.get_value(row, column, self._var._var.var)
            values.append(self._var.value)
        return values

    def solve(self, totals_mmol_kgw, temperature_c, log10_pco2=None):
        """Solves one solution: closed (carbon a total) or, with `log10_pco2`, in balance with that much CO2 gas.

        The pH is set by electroneutrality. No solid may form, and the redox states of N, S and C are not coupled.
        """
        lines = ["SOLUTION 1", f"    temp {temperature_c!r}", "    units mmol/kgw", "    pH 7 charge"]
        for name, amount in totals_mmol_kgw.items():
            if amount < 0.0:
                raise EngineError(f"negative total {name}")
            if amount > 0.0 and not (name == "C" and log10_pco2 is not None):
                lines.append(f"    {ENGINE_NAME[name]} {amount!r}")
        if log10_pco2 is not None:
            lines.append(f"    C(4) 0.1 CO2(g) {log10_pco2!r}")
        self._run("\n".join([*lines, "END", ""]))
        return Solved(self._row(1), temperature_c)


def index_or_none(value):
    """The engine's index, or None where it has none."""
    return None if value is None or value < _ABSENT else value


class Solved:
    """What the engine said of one solution, in the units of the case files."""

    def __init__(self, row, temperature_c):
        (self.ph, self.sc_us_cm, self.ionic_strength, alkalinity, carbon, pco2, self.density_kg_l, self.volume_l,
         self.water_activity, self.viscosity_mpas) = row[:10]
        self.temperature_c = temperature_c
        self.alkalinity_meq_kgw = alkalinity * 1e3
        self.tic_mmol_kgw = carbon * 1e3
        self.log10_pco2_atm = index_or_none(pco2)
        self.si = {mineral: index_or_none(si) for mineral, si in zip(MINERALS, row[10:_FIXED], strict=True)}
        self.ions = []  # (name, charge, mol/kgw, share of the conductance, diffusion coefficient m2/s)
        for k in range(_FIXED, len(row) - 3, 4):
            name, molality, share, diffusion = row[k : k + 4]
            if name is not None and charge(name) != 0:
                self.ions.append((name, charge(name), molality, share, diffusion))

    def kohlrausch(self):
        """Conductivity in uS/cm at the solution's temperature as the sum of equivalents x equivalent conductivity.

        The engine gives the share `t` of each ion in its conductivity SC (`T_SC`). With E the equivalents of all ions
        of one sign that carry current there, and L the equivalent conductivity of the ion at this ionic strength,

            t SC = E L v(z) m / (z sum(w(z) m)),

        v = z^2 and w = 1, 4, 7 for charge 1, 2, 3. So the engine's sum is not the sum of z m L (Kohlrausch's law of
        independent ions) unless one charge is alone; we take L from it and add up z m L. How the weights are known: v
        and w reproduce the values of solutions.json, and with them every mixture at infinite dilution comes to the
        limiting law of Nernst and Einstein; `make_cases.py --verify` checks both.
        """
        total = 0.0
        for sign in (1, -1):
            ions = [(abs(z), m, t) for _, z, m, t, _ in self.ions if z * sign > 0 and t > 0.0]
            if not ions:
                continue
            weighted = sum(_SUM_WEIGHT[z] * m for z, m, _ in ions)
            equivalents = sum(z * m for z, m, _ in ions)
            total += sum(t * z / _SHARE_WEIGHT[z] for z, _, t in ions) * self.sc_us_cm * weighted / equivalents
        return total

    def limiting(self):
        """The limiting law in uS/cm: sum of z^2 m D F^2 / RT over the ions that carry current; for dilute water only.

        D is the engine's own diffusion coefficient at the temperature, R T is taken at 25 C and the density enters
        squared: so the engine computes SC in the limit (found by trial; the same for every mixture and temperature).
        """
        ions = sum(z * z * m * d for _, z, m, t, d in self.ions if t > 0.0)
        return ions * 1e3 * FARADAY_C_MOL**2 / (GAS_J_MOL_K * 298.15) * 1e4 * self.density_kg_l**2


def charge(name):
    """The charge at the end of a species' name: `Ca+2` 2, `H2PO4-` -1, `CO2` 0."""
    for sign, factor in (("+", 1), ("-", -1)):
        head, found, tail = name.rpartition(sign)
        if found and (tail == "" or tail.isdigit()) and head:
            return factor * int(tail or 1)
    return 0
