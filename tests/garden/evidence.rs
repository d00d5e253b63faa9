//! How we know what is shipped: each value has its source, and how much rests on what kind of evidence is kept, so that a change
//! shows.

use std::collections::BTreeMap;

use pourcast::garden::*;

use super::catalog;

/// Every value of the profiles with its source: which list it stands in, of what, and the source.
fn values(catalog: &Catalog) -> Vec<(&'static str, String, Sourced)> {
    let mut values = Vec::new();
    let mut general = Vec::new();
    for crop in &catalog.crops {
        for claim in &crop.claims {
            // What holds for the seedlings of any crop is added to each of them, and counts once.
            let is_general = claim.stage == SEEDLING
                && catalog.crops.iter().filter(|other| other.claims.contains(claim)).count() > 1;
            if is_general {
                if general.contains(&claim) {
                    continue;
                }
                general.push(claim);
            }
            values.push(("claims on crops", crop.id.clone(), claim.sourced()));
        }
        if let Some(tolerance) = &crop.salt_tolerance {
            values.push(("salt tolerances", crop.id.clone(), tolerance.sourced()));
        }
    }
    for product in &catalog.products {
        let sourced = Sourced { source: product.source.clone(), evidence: product.evidence };
        values.push(("products", product.id.clone(), sourced));
    }
    for water in &catalog.waters {
        values.extend(water.sources().into_iter().map(|sourced| ("waters", water.name.clone(), sourced)));
    }
    let priors = Priors::shipped().sources();
    values.extend(priors.into_iter().map(|(field, sourced)| ("priors", field.to_owned(), sourced)));
    values
}

#[test]
fn every_value_has_a_source_in_words() {
    let catalog = catalog();
    let values = values(&catalog);
    for (list, of, sourced) in &values {
        let words = sourced.source.split_whitespace().count();
        assert!(words >= 2 && sourced.source.trim() == sourced.source, "{list}, {of}: {:?}", sourced.source);
        // Words and kind do not contradict each other.
        let source = sourced.source.to_lowercase();
        let is_recalled = source.ends_with("recalled");
        assert_eq!(is_recalled, sourced.evidence == Evidence::Memory && *list == "claims on crops", "{of}: {source}");
        if source.starts_with("ours") {
            // What is ours may lean on what is recalled, never on a source that nobody can look up.
            assert!(!sourced.evidence.is_published(), "{list}, {of}: {source}");
        }
        if sourced.evidence.is_published() {
            let has_year = source.split(|c: char| !c.is_ascii_digit()).any(|digits| digits.len() == 4);
            assert!(has_year || UNDATED.iter().any(|start| sourced.source.starts_with(start)), "{of}: {source}");
        }
    }
    assert!(values.len() > 250, "{}", values.len());
}

/// Published, but without a year on the page.
const UNDATED: [&str; 6] = [
    "Alberta Agriculture",
    "Ohio State University, Soilless Strawberry",
    "A seed house",
    "R. Donnan in Practical Hydroponics",
    "H. Resh",
    "Trade press on urban farming",
];

/// What rests on which kind of evidence. Kept: whoever adds a value sees here what it adds to.
#[test]
fn the_share_of_each_kind_of_evidence_is_kept() {
    let mut counted: BTreeMap<(&str, Evidence), usize> = BTreeMap::new();
    for (list, _, sourced) in values(&catalog()) {
        *counted.entry((list, sourced.evidence)).or_default() += 1;
    }
    let of_list = |list: &str| counted.iter().filter(|((of, _), _)| *of == list).map(|(_, n)| n).sum::<usize>();
    let lines: Vec<String> = counted
        .iter()
        .map(|((list, evidence), count)| {
            let share = 100.0 * *count as f64 / of_list(list) as f64;
            format!("{list}, {}: {count} ({share:.0} %)", evidence.words())
        })
        .collect();
    println!("{}", lines.join("\n"));
    assert_eq!(lines, KEPT);
}

const KEPT: [&str; 13] = [
    "claims on crops, extension bulletin: 44 (39 %)",
    "claims on crops, research paper: 10 (9 %)",
    "claims on crops, handbook: 4 (4 %)",
    "claims on crops, trade press: 7 (6 %)",
    "claims on crops, common practice, no source: 1 (1 %)",
    "claims on crops, from memory: 46 (40 %)",
    "claims on crops, our own choice: 2 (2 %)",
    "priors, research paper: 1 (3 %)",
    "priors, from memory: 4 (12 %)",
    "priors, our own choice: 29 (85 %)",
    "products, our own choice: 18 (100 %)",
    "salt tolerances, extension bulletin: 22 (100 %)",
    "waters, our own choice: 70 (100 %)",
];
