//! Numbers in words that promise no more than the number.

use crate::units::EcScale;

/// A chance as "about 1 in 40"; below 1 in 80 "fewer than 1 in 80": none among 256 stories says no more (the rule of three,
/// Hanley & Lippman-Hand, JAMA 249, 1743 (1983): 3/256).
pub fn one_in(chance: f64) -> String {
    if chance.is_nan() {
        return "an unknown share".to_owned();
    }
    if chance < 0.0125 {
        return "fewer than 1 in 80".to_owned();
    }
    if chance > 0.95 {
        return "nearly all".to_owned();
    }
    if chance > 0.45 {
        return format!("about {:.0} in 10", (chance * 10.0).round().min(10.0));
    }
    let n = 1.0 / chance;
    let round_to = if n > 30.0 {
        10.0
    } else if n > 12.0 {
        5.0
    } else {
        1.0
    };
    format!("about 1 in {:.0}", (n / round_to).round() * round_to)
}

/// The edges of a band of pH, for example `5.5–6.5`: one decimal, two where it is so narrow that one hides it.
pub fn edges((low, high): (f64, f64)) -> String {
    let decimals = edge_decimals((low, high));
    format!("{low:.decimals$}–{high:.decimals$}")
}

/// The same of a band of EC, mS/cm, on a scale; no symbol stands behind it.
pub fn ec_edges(scale: EcScale, (low, high): (f64, f64)) -> String {
    let decimals = edge_decimals((low, high));
    format!("{}–{}", scale.edge(low, decimals), scale.edge(high, decimals))
}

/// Decimals that tell the edges of a band apart.
pub(crate) fn edge_decimals((low, high): (f64, f64)) -> usize {
    if high - low < 0.2 { 2 } else { 1 }
}

/// An amount with the figures that matter: three of them, no needless zeros.
pub(crate) fn figure(value: f64) -> String {
    let decimals = if value.abs() >= 100.0 {
        0
    } else if value.abs() >= 10.0 {
        1
    } else {
        2
    };
    let text = format!("{value:.decimals$}");
    if text.contains('.') { text.trim_end_matches('0').trim_end_matches('.').to_owned() } else { text }
}

/// A name inside a sentence: its first letter small, unless the word is written in capitals or like `pH`.
pub(crate) fn lower_first(name: &str) -> String {
    let mut letters = name.chars();
    match (letters.next(), letters.clone().next()) {
        (Some(first), Some(second)) if second.is_lowercase() => first.to_lowercase().chain(letters).collect(),
        _ => name.to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn chances_read_as_people_say_them() {
        for (chance, words) in [
            (0.0, "fewer than 1 in 80"),
            (0.02, "about 1 in 50"),
            (0.034, "about 1 in 30"),
            (0.25, "about 1 in 4"),
            (0.8, "about 8 in 10"),
            (1.0, "nearly all"),
        ] {
            assert_eq!(one_in(chance), words);
        }
        assert_eq!(
            (figure(5.0), figure(0.25), figure(12.34), figure(250.0)),
            ("5".into(), "0.25".into(), "12.3".into(), "250".into())
        );
    }
}
