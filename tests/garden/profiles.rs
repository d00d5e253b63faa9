//! Shipped products, profile files and example units.

use pourcast::chem::{Carbon, Component, Medium, Mineral, Totals};
use pourcast::garden::*;

use super::{catalog, close, ec_and_ph, labelled, liquid, product};

#[test]
fn acids_by_the_millilitre() {
    // mL per meq with one proton, computed from handbook densities: phosphoric 85 % 0.0684, 75 % 0.0828.
    let acid = |percent: f64| {
        let strength =
            Strength::Acid { acid: AcidKind::Phosphoric, concentration: Concentration::MassPercent(percent) };
        product(Role::PhDown, Form::Liquid { density_g_ml: None }, strength).dissolved().unwrap()
    };
    close(1.0 / (acid(85.0).moles[Component::P] * 1000.0), 0.0684, 0.0004);
    close(1.0 / (acid(75.0).moles[Component::P] * 1000.0), 0.0828, 0.0004);
    close(acid(30.0).alkalinity_eq(), -acid(30.0).moles[Component::P], 1e-15);
    assert!(acid(30.0).notes.iter().any(|note| note.contains("burns")));
}

#[test]
fn strong_mineral_acids_are_refused() {
    for (acid, percent) in [(AcidKind::Nitric, 60.0), (AcidKind::Sulfuric, 35.0), (AcidKind::Hydrochloric, 30.0)] {
        let strength = Strength::Acid { acid, concentration: Concentration::MassPercent(percent) };
        let error = product(Role::PhDown, liquid(1.2), strength).dissolved().unwrap_err();
        assert!(matches!(error, ProductError::RefusedAcid { .. }), "{error}");
        assert!(error.to_string().contains(acid.words()) && error.to_string().contains("burns"), "{error}");
        // Moles or grams per litre do not slip past.
        let strength = Strength::Acid { acid, concentration: Concentration::MolPerL(5.0) };
        assert!(product(Role::PhDown, liquid(1.2), strength).dissolved().is_err());
    }
    let weak = Strength::Acid { acid: AcidKind::Nitric, concentration: Concentration::MassPercent(3.0) };
    assert!(product(Role::PhDown, liquid(1.0), weak).dissolved().is_ok());
}

#[test]
fn shipped_products_dissolve_and_balance() {
    let catalog = catalog();
    assert_eq!(catalog.products.len(), 18);
    let medium = Medium::standard();
    for product in &catalog.products {
        let dissolved = product.dissolved().unwrap();
        assert!(dissolved.notes.iter().all(|note| !note.contains("fall out")), "{}", product.id);
        assert!(dissolved.water_g >= 0.0 && dissolved.moles.is_physical(), "{}", product.id);
        let alkalinity_meq = dissolved.alkalinity_eq() * 1e3;
        match product.role {
            Role::Feed | Role::CalMag => close(alkalinity_meq, 0.0, 1e-12),
            // A mineral acid of home strength, at most 5 %, is the weakest.
            Role::PhDown => assert!(alkalinity_meq < -0.6, "{}", product.id),
            Role::PhUp | Role::Silicate => assert!(alkalinity_meq > 0.9, "{}", product.id),
        }
        assert!(!product.cautions.is_empty() && !product.source.is_empty(), "{}", product.id);
        // At the label rate, in pure water open to air, nothing is near falling out.
        if let Some(rate) = &product.label_rate {
            let totals = dissolved.moles.scaled(rate.per_l);
            let solved = medium.solve(&totals, Carbon::Balance { log10_pco2_atm: -3.2 }).unwrap();
            let minerals = [Mineral::Gypsum, Mineral::Brushite, Mineral::Calcite, Mineral::AmorphousSilica];
            for mineral in minerals {
                if let Some(index) = solved.saturation_index(medium, mineral) {
                    assert!(index < -0.3, "{} {mineral:?} {index}", product.id);
                }
            }
        }
    }
}

#[test]
fn shipped_feeds_are_sensible_for_leafy_greens() {
    // Targets: Cornell (Ronzoni & Mattson 2020), modified Sonneveld: N 150, P 31, K 210, Ca 90, Mg 24, S 32 mg/L.
    let catalog = catalog();
    let dissolved = |id: &str| catalog.product(id).unwrap().dissolved().unwrap();
    let both = dissolved("two-part-a").moles.plus(&dissolved("two-part-b").moles).scaled(5.0);
    let found = Nutrients::of(&both);
    for (found, target) in
        [(found.n, 150.0), (found.p, 31.0), (found.k, 210.0), (found.ca, 90.0), (found.mg, 24.0), (found.s, 32.0)]
    {
        close(found / target, 1.0, 0.10);
    }
    let (ec, ph) = ec_and_ph(&both, Carbon::Balance { log10_pco2_atm: -3.2 });
    assert!((1.2..=1.7).contains(&ec) && (4.8..=6.0).contains(&ph), "{ec} {ph}");
    // Three parts, 2 : 1 : 1, at their label rates.
    let parts = catalog.product("three-part-1").unwrap().parts(|id| catalog.product(id));
    let rate = |product: &Product| product.label_rate.as_ref().unwrap().per_l;
    let three = parts.iter().fold(Totals::ZERO, |sum, (part, ratio)| {
        close(rate(part), rate(parts[0].0) * ratio, 1e-12);
        sum.plus_scaled(&part.dissolved().unwrap().moles, rate(part))
    });
    let found = Nutrients::of(&three);
    for (found, target) in
        [(found.n, 150.0), (found.p, 31.0), (found.k, 210.0), (found.ca, 90.0), (found.mg, 24.0), (found.s, 32.0)]
    {
        close(found / target, 1.0, 0.10);
    }
    // One liquid without calcium, and calcium nitrate powder beside it at half its rate: nitrogen within a quarter.
    let liquid = dissolved("one-part-liquid").moles.scaled(7.0);
    assert_eq!(liquid[Component::Ca].to_bits(), 0.0_f64.to_bits());
    let found = Nutrients::of(&liquid.plus(&dissolved("calcium-nitrate").moles.scaled(0.25)));
    for (found, target) in [(found.n, 150.0), (found.p, 31.0), (found.k, 210.0), (found.mg, 24.0)] {
        close(found / target, 1.0, 0.25);
    }
    // Powder and supplement, both at their label rates, in pure water: within a fifth, potassium a quarter.
    let powder = dissolved("one-part-powder").moles.plus(&dissolved("cal-mag").moles.scaled(2.0));
    let found = Nutrients::of(&powder);
    close(found.n / 150.0, 1.0, 0.2);
    close(found.p / 31.0, 1.0, 0.2);
    close(found.k / 210.0, 1.0, 0.25);
    close(found.ca / 90.0, 1.0, 0.3);
    assert_eq!(dissolved("one-part-powder").moles[Component::Ca].to_bits(), 0.0_f64.to_bits());
}

#[test]
fn a_label_made_from_a_recipe_gives_the_recipe_back() {
    let mut compared = 0;
    for product_ in catalog().products.iter().filter(|product| matches!(product.strength, Strength::Recipe(_))) {
        // No label tells silica: see the test of what the notes say.
        if product_.role == Role::Silicate {
            continue;
        }
        compared += 1;
        let recipe = product_.dissolved().unwrap();
        let unit_g = match product_.form {
            Form::Liquid { density_g_ml } => density_g_ml.unwrap(),
            Form::Powder => 1.0,
        };
        let read = labelled(product_.form, &recipe.as_label(unit_g));
        close(read.closure.residual_eq, 0.0, 1e-12);
        for (component, mol) in recipe.moles.iter() {
            // The closing rule gives a phosphate feed its usual trace of free acid, as chloride.
            let slack = if component == Component::Cl { 0.061 * recipe.moles[Component::P] + 1e-15 } else { 1e-12 };
            close(read.moles[component], mol, slack);
        }
    }
    assert_eq!(compared, 10);
}

/// What source and note of a product tell in figures is what its recipe gives.
#[test]
fn figures_in_words_are_those_of_the_recipe() {
    let catalog = catalog();
    let of = |id: &str, amount: f64| catalog.product(id).unwrap().dissolved().unwrap().moles.scaled(amount);
    let tells = |id: &str, words: &str| {
        let product = catalog.product(id).unwrap();
        let told = format!("{} {}", product.source, product.note.as_deref().unwrap_or_default());
        assert!(told.contains(words), "{id}: {told}");
    };
    let mg = |totals: &Totals, component: Component| totals[component] * component.molar_mass_g() * 1e3;
    tells("cal-mag", "2 mL/L brings Ca 68 and Mg 14 mg/L");
    close(mg(&of("cal-mag", 2.0), Component::Ca), 68.0, 0.5);
    close(mg(&of("cal-mag", 2.0), Component::Mg), 14.0, 0.5);
    tells("calcium-nitrate", "0.5 g/L brings Ca 93 and N 78 mg/L");
    close(mg(&of("calcium-nitrate", 0.5), Component::Ca), 93.0, 0.5);
    close(Nutrients::of(&of("calcium-nitrate", 0.5)).n, 78.0, 0.5);
    tells("epsom-salt", "0.2 g/L brings Mg 20 and S 26 mg/L");
    close(Nutrients::of(&of("epsom-salt", 0.2)).mg, 20.0, 0.5);
    close(Nutrients::of(&of("epsom-salt", 0.2)).s, 26.0, 0.5);
    tells("potassium-silicate", "0.5 mL/L brings Si 9 and K 25 mg/L and 0.65 meq/L");
    let silicate = of("potassium-silicate", 0.5);
    close(mg(&silicate, Component::Si), 9.0, 0.5);
    close(mg(&silicate, Component::K), 25.0, 0.5);
    close(silicate.alkalinity() * 1e3, 0.65, 0.005);
    tells("phosphoric-down", "86 mg for each mL");
    close(mg(&of("phosphoric-down", 1.0), Component::P), 86.0, 1.0);
    tells("nitric-down", "about 0.65 mmol/mL");
    tells("nitric-down", "nitrogen, 9 mg for each mL");
    close(of("nitric-down", 1.0)[Component::No3] * 1e3, 0.65, 0.005);
    close(Nutrients::of(&of("nitric-down", 1.0)).n, 9.0, 0.5);
    // Citric acid monohydrate by its formula: 192.12 of 210.14 g/mol.
    close(100.0 * Salt::CitricAcid.molar_mass_g() / Salt::CitricAcidMonohydrate.molar_mass_g(), 91.4, 0.05);
}

#[test]
fn powder_and_supplement_in_two_waters() {
    // Common practice, no source: a powder that brings 1 L of pure water to EC 6 brings 1 L of 0.4 EC water to within 0.5
    // of that; a calcium–magnesium supplement on top raises both by a further 1 to 2, alike within 0.3. Amounts: 5.95 g and
    // 6 mL.
    let catalog = catalog();
    let dissolved = |id: &str| catalog.product(id).unwrap().dissolved().unwrap().moles;
    let water = SourceWater { ec_ms_cm: Some(0.4), ..SourceWater::of_kind(WaterKind::MediumTap) };
    let tap = water.composition(catalog.water(WaterKind::MediumTap).unwrap()).unwrap().totals;
    let with = |base: &Totals, powder_g: f64, supplement_ml: f64| {
        let totals =
            base.plus_scaled(&dissolved("one-part-powder"), powder_g).plus_scaled(&dissolved("cal-mag"), supplement_ml);
        ec_and_ph(&totals, Carbon::Kept).0
    };
    let (pure, in_tap) = (with(&Totals::ZERO, 5.95, 0.0), with(&tap, 5.95, 0.0));
    close(pure, 6.0, 0.15);
    close(in_tap, pure, 0.5);
    let (rise_pure, rise_tap) = (with(&Totals::ZERO, 5.95, 6.0) - pure, with(&tap, 5.95, 6.0) - in_tap);
    assert!((1.0..=2.0).contains(&rise_pure) && (1.0..=2.0).contains(&rise_tap), "{rise_pure} {rise_tap}");
    close(rise_pure, rise_tap, 0.3);
}

#[test]
fn parts_of_a_feed_name_each_other() {
    let catalog = catalog();
    let mut parts = 0;
    for product in &catalog.products {
        let Some(partner) = &product.partner else {
            assert_eq!(product.parts(|id| catalog.product(id)), [(product, 1.0)]);
            continue;
        };
        parts += 1;
        // Round the ring and back, to as much as there was.
        let (mut ratio, mut next, mut last) = (partner.ratio, catalog.product(&partner.product_id).unwrap(), 0);
        while next.id != product.id {
            let partner = next.partner.as_ref().unwrap();
            ratio *= partner.ratio;
            last += usize::from(!partner.first);
            next = catalog.product(&partner.product_id).unwrap();
        }
        close(ratio, 1.0, 1e-12);
        assert_eq!(last + usize::from(!partner.first), 1, "one of them is the last: {}", product.id);
        // The same parts in the same order, whichever of them is asked.
        let ids =
            |of: &Product| of.parts(|id| catalog.product(id)).iter().map(|(p, _)| p.id.clone()).collect::<Vec<_>>();
        assert_eq!(ids(product), ids(catalog.product(&partner.product_id).unwrap()));
        let mut in_order = ids(product);
        in_order.sort();
        assert_eq!(in_order, ids(product), "named in the order of pouring");
    }
    assert_eq!(parts, 5);
}

/// Partners that lead nowhere, to themselves, or round without an end make no ring: at most the one that is named counts.
#[test]
fn a_broken_ring_of_parts_ends() {
    let part = |id: &str, next: &str, ratio: f64, first: bool| Product {
        id: id.to_owned(),
        partner: Some(Partner { product_id: next.to_owned(), ratio, first }),
        ..product(Role::Feed, liquid(1.1), Strength::UNKNOWN_LIQUID_FEED)
    };
    let ids = |all: &[Product]| {
        let parts = all[0].parts(|id| all.iter().find(|part| part.id == id));
        parts.iter().map(|(part, ratio)| (part.id.clone(), *ratio)).collect::<Vec<_>>()
    };
    let found = |all: &[(&str, f64)]| all.iter().map(|(id, ratio)| ((*id).to_owned(), *ratio)).collect::<Vec<_>>();
    assert_eq!(ids(&[part("a", "gone", 2.0, true)]), found(&[("a", 1.0)]));
    assert_eq!(ids(&[part("a", "a", 2.0, true)]), found(&[("a", 1.0)]));
    let never_back = [part("a", "b", 0.5, false), part("b", "c", 1.0, true), part("c", "b", 1.0, false)];
    assert_eq!(ids(&never_back), found(&[("b", 0.5), ("a", 1.0)]), "its own word on who is first holds");
    let round = [part("b", "c", 1.0, true), part("c", "a", 4.0, false), part("a", "b", 0.25, true)];
    assert_eq!(ids(&round), found(&[("a", 4.0), ("b", 1.0), ("c", 1.0)]));
    let long: Vec<Product> = (0..20).map(|i| part(&i.to_string(), &((i + 1) % 20).to_string(), 1.0, i != 19)).collect();
    assert_eq!(ids(&long).len(), 2);
}

/// Three parts told as a label tells them (2, 1 and 3 of each) come back as told, whichever of them is asked, and the shelf says what is
/// missing.
#[test]
fn parts_as_told_come_back_and_a_missing_one_is_named() {
    let catalog = catalog();
    let told: Vec<PartShare> = (["a", "b", "c"].iter().zip([2.0, 1.0, 3.0]))
        .map(|(id, amount)| PartShare { product_id: (*id).to_owned(), amount })
        .collect();
    let own = |(share, partner): (&PartShare, Option<Partner>)| {
        let feed = product(Role::Feed, liquid(1.1), Strength::UNKNOWN_LIQUID_FEED);
        let own = Product { id: share.product_id.clone(), partner, ..feed };
        ShelfItem::new(ProductRef::Own(Box::new(own)), Tool::SYRINGE_10)
    };
    let mut unit = catalog.examples[0].unit.clone();
    unit.shelf = told.iter().zip(partners(&told)).map(own).collect();
    for place in 0..3 {
        let product = catalog.product_of(&unit.shelf[place]).unwrap();
        let parts = unit.parts_of(product, &catalog);
        let ids: Vec<&str> = parts.iter().map(|(part, _)| part.id.as_str()).collect();
        assert_eq!(ids, ["a", "b", "c"]);
        for ((_, ratio), share) in parts.iter().zip(&told) {
            close(*ratio, share.amount / told[place].amount, 1e-12);
        }
        assert_eq!(unit.missing_part(product, &catalog), None);
    }
    assert_eq!(partners(&told[..1]), [None], "one part is a whole");
    unit.shelf[1].used_up = true;
    let asked = |unit: &Unit, place: usize| {
        let product = catalog.product_of(&unit.shelf[place]).unwrap();
        unit.missing_part(product, &catalog).map(str::to_owned)
    };
    assert_eq!((asked(&unit, 0).as_deref(), asked(&unit, 2).as_deref()), (Some("b"), Some("b")));
    unit.shelf.remove(1);
    assert_eq!(asked(&unit, 0).as_deref(), Some("b"));
    for (amount, named) in [(0.0, "is 0"), (-1.0, "is -1"), (f64::NAN, "NaN"), (2000.0, "at most 1000")] {
        let problem = check_part_amount(amount).unwrap();
        assert!(problem.message.contains(named), "{}", problem.message);
    }
    assert_eq!(check_part_amount(0.5), None);
    // Told again as a label does: 2, 1 and 3; the odd ones as they are.
    assert_eq!(in_whole_numbers(&[1.0, 0.5, 1.5]), [2.0, 1.0, 3.0]);
    assert_eq!(in_whole_numbers(&[1.0, 2.0 / 3.0]), [3.0, 2.0]);
    assert_eq!(in_whole_numbers(&[1.0, std::f64::consts::SQRT_2]), [1.0, std::f64::consts::SQRT_2]);
}

#[test]
fn mistakes_in_a_profile_name_file_line_and_column() {
    let unknown = "[\n    (\n        id: \"x\",\n        about: \"x\",\n        colour: 3,\n    ),\n]";
    let error = parse::<Vec<ExampleUnit>>("test.ron", unknown).unwrap_err();
    let ProfileError::Syntax { place, reason } = &error else { panic!("{error}") };
    assert_eq!((place.file.as_str(), place.line), ("test.ron", 5), "{error}");
    assert!(place.column > 1 && reason.contains("colour"), "{error}");
    assert!(error.to_string().contains(&format!("test.ron:5:{}", place.column)), "{error}");
    // Every type refuses what it does not know.
    assert!(parse::<LabelAnalysis>("t", "(k2o: 3.0, colour: 1)").is_err());
    assert!(parse::<Tool>("t", "Syringe(capacity_ml: 1.0, mark_ml: 0.1, colour: 1)").is_err());
    assert!(parse::<Reading>("t", "(at_s: 1, colour: 1)").is_err());
    assert!(parse::<SourceWater>("t", "(kind: Rain, colour: 1)").is_err());
    assert!(parse::<SourceWater>("t", "(kind: Mud)").is_err());
    assert!(parse::<BandClaim>("t", "(stage: \"all\", source: \"s\", evidence: Ours, colour: 1)").is_err());
    let cut_off = parse::<Vec<Crop>>("crops/x.ron", "[\n  (id: \"a\",").unwrap_err().to_string();
    assert!(cut_off.contains("crops/x.ron:2"), "{cut_off}");
}

#[test]
fn examples_are_whole_and_tell_one_story() {
    let catalog = catalog();
    assert_eq!(catalog.examples.len(), 4);
    for example in &catalog.examples {
        assert_eq!(example.unit.check(&catalog), Vec::new(), "{}", example.id);
        assert!(example.about.contains("Example"), "marked as one");
        // The reading in the log is what its own pours make, within the pen's error.
        let unit = &example.unit;
        let water = unit.source_water.composition(catalog.water(unit.source_water.kind).unwrap()).unwrap();
        let volume = unit.level_l * unit.level_known.ratio().median;
        let mut totals = water.totals;
        for entry in &unit.log {
            if let LogEntry::Pour(pour) = entry {
                let moles = catalog.product(&pour.product_id).unwrap().dissolved().unwrap().moles;
                totals = totals.plus_scaled(&moles, pour.amount / volume);
            }
        }
        let (ec, ph) = ec_and_ph(&totals, Carbon::Kept);
        let reading = unit.last_reading().unwrap();
        println!("  {}: pH {ph:.2}, EC {ec:.3}", example.id);
        close(reading.ec_ms_cm.unwrap(), ec, unit.meter.ec_sd_ms_cm(ec));
        close(reading.ph.unwrap(), ph, 2.0 * unit.meter.ph_sd());
    }
}

#[test]
fn a_unit_survives_its_file() {
    for example in &catalog().examples {
        let text = ron::ser::to_string_pretty(&example.unit, ron::ser::PrettyConfig::default()).unwrap();
        assert_eq!(ron::from_str::<Unit>(&text).unwrap(), example.unit);
    }
}

#[test]
fn a_product_of_ones_own_survives_its_file() {
    let label = LabelAnalysis { total_n: Some(4.0), k2o: Some(6.5), ..LabelAnalysis::default() };
    let strengths = [
        Strength::Label(Box::new(label)),
        Strength::UNKNOWN_ACID,
        Strength::Base { base: BaseKind::PotassiumCarbonate, concentration: Concentration::GramsPerL(130.0) },
        Strength::Recipe(Recipe { salts: vec![SaltAmount { salt: Salt::Urea, grams: 20.0 }] }),
    ];
    for strength in strengths {
        let own = product(Role::Feed, Form::Liquid { density_g_ml: None }, strength);
        let item = ShelfItem::new(ProductRef::Own(Box::new(own)), Tool::SYRINGE_1);
        let text = ron::ser::to_string_pretty(&item, ron::ser::PrettyConfig::default()).unwrap();
        assert_eq!(ron::from_str::<ShelfItem>(&text).unwrap(), item, "{text}");
        assert!(catalog().product_of(&item).is_some());
    }
}

/// Where a belief comes from can be looked up: no prior without its reasoning, and the shares of kinds are whole.
#[test]
fn every_prior_has_its_reasoning() {
    let priors = Priors::shipped();
    let sources = priors.sources();
    assert_eq!(sources.len(), 15 + 19, "each value once");
    for (field, sourced) in &sources {
        assert!(sourced.source.split_whitespace().count() > 2, "{field}: {sourced:?}");
    }
    let AcidShares { phosphoric, citric, nitric } = &priors.acid_shares;
    close(phosphoric.value + citric.value + nitric.value, 1.0, 1e-12);
    // What is known better is told narrower, and quicker air moves more gas.
    let widths: Vec<f64> = LevelKnown::ALL.iter().map(|known| known.ratio().ln_sd).collect();
    assert!(widths.is_sorted(), "{widths:?}");
    assert!(UnitKind::StillJar.co2_rate_per_h().median < UnitKind::AeratedBucket.co2_rate_per_h().median);
}

/// Acids and bases hurt people, whoever wrote their profile: the usual cautions come with the role.
#[test]
fn an_own_acid_or_base_has_the_usual_cautions() {
    let strength = Strength::UNKNOWN_ACID;
    let told = |role: Role, own: &[&str]| {
        let bottle = product(role, Form::Liquid { density_g_ml: None }, strength.clone());
        Product { cautions: own.iter().map(|words| (*words).to_owned()).collect(), ..bottle }.told_cautions()
    };
    for (role, words) in
        [(Role::PhDown, "Acid into water"), (Role::PhUp, "harms eyes"), (Role::Silicate, "into plain water")]
    {
        let usual = told(role, &[]);
        assert!(usual.iter().any(|caution| caution.contains(words)) && usual.len() > 4, "{usual:?}");
        let own = told(role, &[&usual[0], "Stains."]);
        assert_eq!(own.len(), usual.len() + 1, "what is usual is said once: {own:?}");
    }
    assert_eq!(told(Role::Feed, &[]), [""; 0]);
    for shipped in &catalog().products {
        let set = |cautions: &[String]| cautions.iter().cloned().collect::<std::collections::BTreeSet<_>>();
        let told = shipped.told_cautions();
        assert_eq!((set(&told), told.len()), (set(&shipped.cautions), shipped.cautions.len()), "{}", shipped.id);
    }
}
