//! A line of a water report as a person types it, with the unit that stands behind it on paper.

use super::fields::{Field, Typed, settle};
use super::words::{HardnessWord, hardness_word, parts};
use super::{Entry, quoted};
use crate::units::{MgPerLitre, ReportLine, ReportUnit, shown};

/// Largest concentration accepted, mg/L. Ours: beyond any water one would grow in.
const LARGEST_MG_PER_L: f64 = 5000.0;

/// The unit that a word behind a number means for this line; the field's `unit` decides what a bare "mg/L" is.
fn unit_of(word: &str, line: ReportLine, unit: ReportUnit) -> Option<ReportUnit> {
    let own = line.species().to_lowercase();
    let counts_mg = |unit: &ReportUnit| !matches!(unit, ReportUnit::MicrogramPerLitre | ReportUnit::MmolPerLitre);
    if word.is_empty() {
        return Some(unit);
    }
    if matches!(word, "mg/l" | "ppm") {
        return Some(Some(unit).filter(counts_mg).unwrap_or(ReportUnit::MgPerLitre));
    }
    if matches!(word, "ug/l" | "ppb") {
        return Some(ReportUnit::MicrogramPerLitre);
    }
    if matches!(word, "mmol" | "mmol/l") {
        return Some(ReportUnit::MmolPerLitre);
    }
    // "mg/L as N", "mg N/L", "ppm NO3-N", "mg/L SO4".
    let of = ["mg/las", "mg/l", "ppmas", "ppm"].iter().find_map(|start| word.strip_prefix(start));
    let of = of.or_else(|| word.strip_prefix("mg").and_then(|rest| rest.strip_suffix("/l")));
    if let Some(of) = of {
        if of == own {
            return Some(ReportUnit::MgPerLitre);
        }
        if let Some((element, _)) = line.element()
            && (of == element.to_lowercase() || of == format!("{own}{}", element.to_lowercase()))
        {
            return Some(ReportUnit::MgPerLitreOfElement);
        }
    }
    match hardness_word(word)? {
        HardnessWord::Unit(unit) => Some(ReportUnit::Charge(unit)),
        HardnessWord::Millimoles => Some(ReportUnit::MmolPerLitre),
    }
}

/// A line of a water report in the field's `unit`, unless the text names another. Accepted: 0 to 5000 mg/L.
pub fn interpret_report_line(text: &str, line: ReportLine, unit: ReportUnit) -> Entry<Typed<MgPerLitre, ReportUnit>> {
    let largest = line.from_mg_per_l(LARGEST_MG_PER_L, unit).unwrap_or(LARGEST_MG_PER_L);
    let limit = format!("0 to {} {}", shown(largest), unit.symbol(line));
    let field = Field { name: line.label(), limit, typed: text };
    let own = line.species().to_lowercase();
    let name = line.label().to_lowercase();
    let parts = parts(text, &[&own, &name]);
    let fits = |value: f64, unit: ReportUnit| {
        let quantity = MgPerLitre::new(line.mg_per_l_from(value, unit)?).ok()?;
        (quantity.get() <= LARGEST_MG_PER_L).then_some(Typed { quantity, unit })
    };
    let named = unit_of(&parts.unit, line, unit).filter(|unit| line.mg_per_l_from(1.0, *unit).is_some());
    let Some(unit_typed) = named else {
        let known: Vec<String> = line.units().into_iter().map(|unit| unit.symbol(line)).collect();
        return field.unknown_unit(&known.join(", "));
    };
    let number = match field.number(parts.number) {
        Ok(number) => number,
        Err(outcome) => return outcome,
    };
    settle(
        text,
        number,
        |value| fits(value, unit_typed),
        |value| format!("{value} {}", unit_typed.symbol(line)),
        |_| field.outside(&format!("{} “{}”", line.label(), quoted(text))),
    )
}
