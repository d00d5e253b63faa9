//! Checks of a whole unit as typed.

use super::catalog::Catalog;
use super::check::{
    FieldProblem, MOST_EC_MS_CM, MOST_VOLUME_L, check_elapsed_s, check_level_l, check_volume_l, positive,
};
use super::product::{Product, Role};
use super::reading::LogEntry;
use super::tool::{Tool, plain};
use super::unit::{ProductRef, Unit};

/// Whether a tool can measure a product: a powder needs grams, a liquid millilitres, an acid or a base more than a spoon.
pub fn check_measure(product: &Product, tool: &Tool) -> Option<FieldProblem> {
    let unit = product.form.unit();
    if unit != tool.unit() {
        let message = format!("{} is measured in {unit}, but a {} measures {}", product.name, tool.name(), tool.unit());
        return Some(FieldProblem::refused("tool", tool.name(), format!("a tool that measures {unit}"), message));
    }
    let what = match product.role {
        Role::PhDown => "an acid",
        Role::PhUp => "a base",
        Role::Silicate => "an alkaline liquid",
        Role::Feed | Role::CalMag => return None,
    };
    tool.is_rough().then(|| {
        let (limit, way) = match unit {
            "g" => ("a scale or a weighed scoop", "weigh ten level scoops once, or use a scale"),
            _ => ("a syringe or a dropper", "use a 1 mL or 10 mL syringe, or count drops"),
        };
        let message = format!(
            "A {} is no measure for {what}: household spoons hold 40 % more or less than they say, and nothing that touches {what} goes back to the kitchen. Instead {way}",
            tool.name()
        );
        FieldProblem::refused("tool", tool.name(), limit, message)
    })
}

impl Unit {
    /// Everything wrong or doubtful with the unit as typed, in the order of its fields.
    pub fn check(&self, catalog: &Catalog) -> Vec<FieldProblem> {
        let mut problems = Vec::new();
        if self.name.trim().is_empty() {
            problems.push(FieldProblem::refused("name", "empty", "some text", "give the unit a name"));
        }
        problems.extend(check_volume_l(self.tank_l));
        problems.extend(check_level_l(self.level_l, self.tank_l));
        problems.extend(self.source_water.check().into_iter().map(|problem| problem.under("source_water")));
        self.check_own_crops(&mut problems);
        self.check_crops(catalog, &mut problems);
        self.check_band(&mut problems);
        for (index, item) in self.shelf.iter().enumerate() {
            let place = format!("shelf.{index}");
            match catalog.product_of(item) {
                None => {
                    let id = item.product.id().to_owned();
                    let message = format!("the product `{id}` is not in the catalog");
                    problems.push(FieldProblem::refused(&place, id, "a known product", message));
                }
                Some(product) => problems
                    .extend(item.tools().filter_map(|tool| check_measure(product, &tool)).map(|p| p.under(&place))),
            }
            if let ProductRef::Own(product) = &item.product {
                // The plan says why it cannot be made; the unit can be opened to mend it.
                let found = product.check().into_iter().map(FieldProblem::as_caution);
                problems.extend(found.map(|problem| problem.under("product").under(&place)));
            }
            let of_tools = item.tools().flat_map(|tool| tool.check());
            problems.extend(of_tools.map(|problem| problem.under(&place)));
        }
        problems.extend(self.meter.check().into_iter().map(|problem| problem.under("meter")));
        self.check_log(&mut problems);
        problems
    }

    fn check_band(&self, problems: &mut Vec<FieldProblem>) {
        let Some(own) = &self.own_band else { return };
        let bands = [("own_band.ph", own.ph, 14.0), ("own_band.ec_ms_cm", own.ec_ms_cm, MOST_EC_MS_CM)];
        for (field, band, most) in bands {
            if let Some((low, high)) = band
                && !(low >= 0.0 && low < high && high <= most)
            {
                problems.push(FieldProblem::refused(
                    field,
                    format!("{} to {}", plain(low), plain(high)),
                    format!("low below high, 0 to {}", plain(most)),
                    format!(
                        "your own band of {} to {} cannot be used: low must be below high, within 0 to {}",
                        plain(low),
                        plain(high),
                        plain(most)
                    ),
                ));
            }
        }
    }

    fn check_log(&self, problems: &mut Vec<FieldProblem>) {
        let mut before: Option<i64> = None;
        for (index, entry) in self.log.iter().enumerate() {
            let place = format!("log.{index}");
            if let Some(before) = before {
                let elapsed = entry.at_s().saturating_sub(before);
                problems.extend(check_elapsed_s(elapsed).map(|problem| problem.under(&place)));
            }
            before = Some(entry.at_s());
            match entry {
                LogEntry::Reading(reading) => {
                    let found = reading.check(self.tank_l, self.source_water.ec_read_ms_cm());
                    problems.extend(found.into_iter().map(|problem| problem.under(&place)));
                }
                LogEntry::Pour(pour) => {
                    if !(pour.amount >= 0.0 && pour.amount.is_finite()) {
                        let text = plain(pour.amount);
                        let message = format!("a pour of {text} cannot be: amounts are 0 or more");
                        problems.push(FieldProblem::refused("amount", &text, "0 or more", message).under(&place));
                    }
                    problems.extend(self.check_on_shelf(&pour.product_id).map(|problem| problem.under(&place)));
                }
                LogEntry::JarTest(test) => {
                    let found = test.check().into_iter().chain(self.check_on_shelf(&test.product_id));
                    problems.extend(found.map(|problem| problem.under(&place)));
                }
                LogEntry::TopUp { water_l: litres, .. }
                | LogEntry::Drain { solution_l: litres, .. }
                | LogEntry::Refill { water_l: litres, .. } => {
                    problems.extend(
                        positive("water_l", "the amount of water", *litres, MOST_VOLUME_L, "L")
                            .map(|problem| problem.under(&place)),
                    );
                }
                LogEntry::Note { .. } => {}
            }
        }
    }

    fn check_on_shelf(&self, product_id: &str) -> Option<FieldProblem> {
        self.shelf_item(product_id).is_none().then(|| {
            let message = format!("the log names `{product_id}`, which is not on the shelf");
            FieldProblem::refused("product_id", product_id, "a product on the shelf", message)
        })
    }
}
