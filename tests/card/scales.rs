//! The card on the scale of the person's meter.

use pourcast::card::text;
use pourcast::garden::{Catalog, Unit};
use pourcast::units::EcScale;

use super::states::{card_of, states};

/// The unit with a meter that shows another scale.
fn on(scale: EcScale, unit: &Unit) -> Unit {
    let mut unit = unit.clone();
    unit.meter.ec_scale = scale;
    unit
}

/// From and to of the EC in words such as "Expect pH 5.7–6.8, EC 1.3–1.4".
fn ec_of(words: &str) -> (f64, f64) {
    let figures = words.split_once("EC ").unwrap().1.split(' ').next().unwrap();
    let (low, high) = figures.split_once('–').unwrap_or((figures, figures));
    (low.parse().unwrap(), high.parse().unwrap())
}

/// The factors are the conventions of meters (see the scales): 500 ppm and 1000 µS/cm and 10 CF at 1 mS/cm. What is told to a
/// tenth of mS/cm is told to tens of ppm.
#[test]
fn a_card_speaks_the_scale_of_the_meter_and_promises_the_same_water() {
    let catalog = Catalog::shipped().unwrap();
    let mut ranges = 0;
    for (name, unit) in states(&catalog) {
        let plain = card_of(&on(EcScale::MilliSiemens, &unit), &catalog);
        for (scale, factor, half_a_figure) in [
            (EcScale::Ppm500, 500.0, 5.0),
            (EcScale::MicroSiemens, 1000.0, 5.0),
            (EcScale::ConductivityFactor, 10.0, 0.5),
        ] {
            let told = card_of(&on(scale, &unit), &catalog);
            let words = text(&told);
            assert!(!words.contains("mS/cm"), "{name}: {words}");
            assert!(told.zone.ends_with(scale.symbol()), "{name}: {}", told.zone);
            assert_eq!(told.steps.len(), plain.steps.len(), "{name}");
            for (step, other) in told.steps.iter().zip(&plain.steps) {
                assert_eq!(
                    (&step.headline, step.amount, step.expect_ec_ms_cm),
                    (&other.headline, other.amount, other.expect_ec_ms_cm)
                );
                let (Some(words), Some(other)) = (&step.expect, &other.expect) else { continue };
                assert!(words.ends_with(scale.symbol()), "{name}: {words}");
                let (found, exact) = (ec_of(words), step.expect_ec_ms_cm.unwrap());
                let plain = ec_of(other);
                for (found, exact, plain) in [(found.0, exact.0, plain.0), (found.1, exact.1, plain.1)] {
                    assert!((found - factor * exact).abs() <= half_a_figure + 1e-6, "{name}: {words}, {exact} mS/cm");
                    assert!(
                        (found - factor * plain).abs() <= half_a_figure + 0.05 * factor + 1e-6,
                        "{name}: {words}, {other}"
                    );
                }
                ranges += 1;
            }
        }
    }
    println!("{ranges} ranges compared");
    assert!(ranges >= 30, "{ranges}");
}
