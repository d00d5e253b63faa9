//! What would help most: the facts that would narrow the answer's range most, worked out from the belief.
//!
//! Each story says what the answer would be if it were true (the dose to the aim, or the pH that the water settles at) and what
//! somebody would find who looked at one more thing: the drop kit's figure, the volume by jug, the meter's own error. The finding
//! gets its own error, the stories are sorted by it, and what is left of the answer's range within an eighth of them is what
//! would be left to somebody who knew it. Nothing is promised beyond that number.

use crate::chem::Carbon;
use crate::garden::{LevelKnown, PhInstrument, Priors, Role};
use crate::learn::{Member, ProductBelief, normals, quantile};

use super::Planner;
use super::forecast::{Forecast, Looked, Most};
use super::planner::water_of;
use super::step::{Action, Plan};

/// A fact worth finding out.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Fact {
    /// Alkalinity of the source water, by a drop kit or a report.
    Alkalinity,
    /// How much water is in the tank, measured by jug.
    Volume,
    /// The pH meter's own error, by buffers; a meter in the place of drops or strips.
    PhMeter,
    /// EC of the source water.
    SourceEc,
    /// pH of the source water.
    SourcePh,
    /// How strong a product is, by a jar test.
    JarTest {
        /// Which product.
        product_id: String,
    },
    /// The analysis on a feed's label.
    FeedLabel {
        /// Which product.
        product_id: String,
    },
    /// A reading after the fresh water has stood in the air.
    StoodReading,
    /// Another reading of the water as it is.
    SecondReading,
}

/// A fact, and what it would do for the answer.
#[derive(Clone, Debug, PartialEq)]
pub struct Help {
    /// Which fact.
    pub fact: Fact,
    /// Share of the answer's range that would be left to somebody who knew it, 0 to 1.
    pub left: f64,
    /// In one sentence, without a full stop.
    pub words: String,
}

/// Facts told of at most.
const MOST_FACTS: usize = 3;
/// What narrows a range by less than this share is not worth the trouble. Ours.
const LEAST_GAIN: f64 = 0.2;
/// The same for what stands beside something better. Ours.
const LEAST_GAIN_BESIDE: f64 = 0.3;
/// A dose whose range, 1 in 10 below to 1 in 10 above, is narrower than this share of its middle is known well enough. Ours.
const NARROW_DOSE: f64 = 0.45;
/// Error of a drop kit's alkalinity, 1 sd, meq/L: half a drop of 0.36 meq/L (1 °dKH a drop is the usual kit; common practice,
/// no source), or what the belief takes from a stated alkalinity, whichever is more.
const DROP_KIT_MEQ_L: f64 = 0.2;
const DROP_KIT_LN_SD: f64 = 0.12;
/// Error of a jar test, 1 sd of the logarithm: a litre by jug and a syringe's marks; the pH read comes on top. Ours.
const JAR_TEST_LN_SD: f64 = 0.15;
/// A drop kit tells of the water for good, a jar test of one tank and one bottle: where both would help nearly alike, a jar
/// test of a product with a label comes second. Ours: a factor on what it leaves.
const JAR_TEST_HANDICAP: f64 = 1.4;
/// Water freshly filled still has so much carbon dioxide to lose that standing tells of it, hours.
const FRESH_H: f64 = 12.0;
/// Bins that the stories are sorted into by a finding.
const BINS: usize = 8;
const SEED: u64 = 0x0000_5eed_0fac;

/// What the facts would narrow.
struct Answer {
    /// For each story.
    values: Vec<f64>,
    /// Such as "the range of this dose".
    what: &'static str,
    /// What jar tests and labels speak of.
    product: Option<Role>,
}

impl Planner {
    /// The facts that would narrow the plan's answer most, best first; none where it is known well enough.
    pub(crate) fn helps(&self, plan: &Plan) -> Vec<Help> {
        let start = self.after_unread_pours();
        let Some(answer) = self.answer(plan, &start) else { return Vec::new() };
        if answer.values.len() != start.len() {
            return Vec::new();
        }
        let whole = spread(&answer.values);
        let mut found: Vec<(f64, Fact)> = self
            .findings(&answer, &start)
            .into_iter()
            .filter(|(_, finding)| finding.len() == answer.values.len())
            .map(|(fact, finding)| {
                let left = (left_within(&finding, &answer.values) / whole).min(1.0);
                (left, fact)
            })
            .filter(|(left, _)| 1.0 - left >= LEAST_GAIN)
            .collect();
        let rank = |(left, fact): &(f64, Fact)| match fact {
            Fact::JarTest { product_id } if self.product(product_id).is_some_and(|p| !p.unlabelled) => {
                left * JAR_TEST_HANDICAP
            }
            _ => *left,
        };
        found.sort_by(|a, b| rank(a).total_cmp(&rank(b)));
        let mut place = 0;
        found.retain(|(left, _)| {
            place += 1;
            place == 1 || 1.0 - left >= LEAST_GAIN_BESIDE
        });
        found.truncate(MOST_FACTS);
        found
            .into_iter()
            .map(|(left, fact)| Help {
                words: format!("{} would {}", self.way(&fact), narrowed(left, answer.what)),
                left,
                fact,
            })
            .collect()
    }

    /// What the plan answers, story by story; `None` where nothing is to be narrowed.
    fn answer(&self, plan: &Plan, start: &Forecast<'_>) -> Option<Answer> {
        let showing = &self.knowledge.showing;
        // The widest of the pours: it is what the person will be least sure of.
        let mut forecast = start.clone();
        let mut widest: Option<(f64, Answer)> = None;
        let mut fed = false;
        for (place, step) in plan.steps.iter().enumerate() {
            let water = water_of(&step.action);
            if !water.is_empty() {
                forecast = self.done(forecast, &water);
            }
            let Action::Pour(measured) = &step.action else { continue };
            let (Some(product), Some(pour)) = (self.product(&measured.id), self.part(&measured.id)) else { continue };
            let is_acid = matches!(product.role, Role::PhDown | Role::PhUp);
            // The parts of a feed share one answer.
            if is_acid || product.role == Role::Feed && !fed {
                let values = self.doses(product, &forecast);
                let mut sorted = values.clone();
                let middle = quantile(&mut sorted, 0.5);
                let width = spread(&values) / middle.max(1e-9);
                let what = match (is_acid, place) {
                    (_, 0) => "the range of this dose",
                    (true, _) if product.role == Role::PhDown => "the range of the acid",
                    (true, _) => "the range of the pH-raising dose",
                    (false, _) => "the range of the feed",
                };
                if width > NARROW_DOSE && widest.as_ref().is_none_or(|(before, _)| width > *before) {
                    widest = Some((width, Answer { values, what, product: Some(product.role) }));
                }
            }
            fed |= product.role == Role::Feed;
            forecast = forecast.after(product, pour, measured.amount);
        }
        if widest.is_some() || plan.steps.iter().any(|step| matches!(step.action, Action::Pour(_))) {
            return widest.map(|(_, answer)| answer);
        }
        if !matches!(plan.now()?.action, Action::LeaveIt) || self.knowledge.seen.ph.is_none() {
            return None;
        }
        // Nothing is poured: what it comes to by itself, if that is not surely well.
        let values = start.settled(showing);
        let mut sorted = values.clone();
        let (low, high) = (quantile(&mut sorted, 0.1), quantile(&mut sorted, 0.9));
        let slack = self.knowledge.meter.ph_sd();
        let is_well = low >= self.zone.ph.0 - slack && high <= self.zone.ph.1 + slack;
        (!is_well).then_some(Answer { values, what: "the range that pH settles in", product: None })
    }

    /// What each story would need of a product to come to the aim.
    fn doses(&self, product: &ProductBelief, forecast: &Forecast<'_>) -> Vec<f64> {
        let sought = if product.role == Role::Feed {
            (Looked::Ec, 1.0, f64::midpoint(self.zone_ec_ms_cm.0, self.zone_ec_ms_cm.1))
        } else {
            let sign = if product.role == Role::PhDown { -1.0 } else { 1.0 };
            (Looked::Settled, sign, f64::midpoint(self.zone.ph.0, self.zone.ph.1))
        };
        let most = Most::Generous(self.most_of(product));
        forecast.demands_of(&self.knowledge.showing, sought, most, product)
    }

    /// What somebody would find in each story, for each fact that is not known already.
    fn findings(&self, answer: &Answer, start: &Forecast<'_>) -> Vec<(Fact, Vec<f64>)> {
        let k = &self.knowledge;
        let showing = &k.showing;
        let members = start.members();
        let mut seed = SEED;
        // Each finding has errors of its own.
        let mut errors = || {
            seed += 1;
            normals(seed, members.len())
        };
        let mut findings = Vec::new();
        let of = |value: &dyn Fn(&Member) -> f64, sd: &dyn Fn(&Member) -> f64, errors: Vec<f64>| -> Vec<f64> {
            members.iter().zip(errors).map(|(member, z)| value(member) + sd(member) * z).collect()
        };
        if !k.is_alkalinity_told() {
            let alkalinity = |m: &Member| m.source_alkalinity_meq_l;
            let sd = |m: &Member| DROP_KIT_MEQ_L.max(DROP_KIT_LN_SD * m.source_alkalinity_meq_l);
            findings.push((Fact::Alkalinity, of(&alkalinity, &sd, errors())));
        }
        if k.volume_ratio.ln_sd > 1.5 * LevelKnown::Jug.ratio().ln_sd {
            let sd = |_: &Member| LevelKnown::Jug.ratio().ln_sd;
            findings.push((Fact::Volume, of(&|m| m.tank.water_kg.ln(), &sd, errors())));
        }
        let read_sd = PhInstrument::GoodMeter.ph_sd();
        match k.meter.ph_instrument {
            PhInstrument::GoodMeter => {}
            _ if k.seen.ph.is_none() => {}
            PhInstrument::Pen => findings.push((Fact::PhMeter, of(&|m| m.ph_offset, &|_| read_sd, errors()))),
            // A meter in their place reads the water anew.
            PhInstrument::Drops | PhInstrument::Strips => {
                let found = start.points(showing).into_iter().zip(errors()).map(|(at, z)| at.ph + read_sd * z);
                findings.push((Fact::PhMeter, found.collect()));
            }
        }
        if k.source_seen.ec_ms_cm.is_none() || k.source_seen.ph.is_none() {
            findings.extend(self.source_findings(members, &mut errors));
        }
        if let Some(role) = answer.product
            && let Some(product) = k.product_for(role)
        {
            let product_id = product.parts.first().map(|part| part.pour.id.clone()).unwrap_or_default();
            if role == Role::Feed {
                if product.unlabelled {
                    let finding = of(&|m| m.feed_factor.ln(), &|_| Priors::shipped().label_ln_sd.value, errors());
                    findings.push((Fact::FeedLabel { product_id }, finding));
                }
            } else if k.seen.ph.is_some() {
                let sign = if role == Role::PhDown { -1.0 } else { 1.0 };
                let aim = f64::midpoint(self.zone.ph.0, self.zone.ph.1);
                let most = Most::Generous(self.most_of(product));
                let in_tank = start.demands_of(showing, (Looked::Mixed, sign, aim), most, product);
                let noise = self.reading_noise(k.seen.ec_ms_cm.unwrap_or(1.0)).0;
                let points = start.points(showing);
                let stories = in_tank.iter().zip(&start.tanks).zip(members).zip(&points);
                let found =
                    stories.zip(errors().into_iter().zip(errors())).map(|((((dose, tank), m), at), (z, read))| {
                        // The same pen reads the jar: what it shows amiss is poured too much or too little.
                        let per_ph = dose / (at.ph - aim).abs().max(0.5);
                        let amiss = -sign * (m.ph_offset + noise * read) * per_ph;
                        (dose * (JAR_TEST_LN_SD * z).exp() + amiss) / tank.water_kg
                    });
                let found: Vec<f64> = found.collect();
                findings.push((Fact::JarTest { product_id }, found));
            }
        }
        let noise = self.reading_noise(k.seen.ec_ms_cm.unwrap_or(1.0)).0;
        if k.seen.ph.is_some() {
            if k.fresh_h.is_some_and(|hours| hours < FRESH_H) && answer.product.is_some() {
                let stood = start.settled(showing);
                let found = stood.iter().zip(members).zip(errors()).map(|((ph, m), z)| ph + m.ph_offset + noise * z);
                findings.push((Fact::StoodReading, found.collect()));
            }
            let points = start.points(showing);
            let found = points.iter().zip(members).zip(errors()).map(|((at, m), z)| at.ph + m.ph_offset + noise * z);
            findings.push((Fact::SecondReading, found.collect()));
        }
        findings
    }

    /// What the meters would show of the source water, where nobody has read it.
    fn source_findings(&self, members: &[Member], errors: &mut impl FnMut() -> Vec<f64>) -> Vec<(Fact, Vec<f64>)> {
        let k = &self.knowledge;
        let mut near = None;
        let shown = members.iter().map(|member| {
            let medium = k.showing.medium();
            let solved = match &near {
                Some(near) => medium.solve_from(near, &member.source, Carbon::Kept),
                None => medium.solve(&member.source, Carbon::Kept),
            };
            let solved = solved.ok()?;
            let point = k.showing.point(&solved).ok()?;
            near = Some(solved);
            Some((point.ec_ms_cm * member.ec_gain, point.ph + member.ph_offset))
        });
        let Some(shown) = shown.collect::<Option<Vec<(f64, f64)>>>() else { return Vec::new() };
        let mut findings = Vec::new();
        if k.source_seen.ec_ms_cm.is_none() {
            let found = shown.iter().zip(errors()).map(|((ec, _), z)| ec + k.ec_noise(*ec) * z);
            findings.push((Fact::SourceEc, found.collect()));
        }
        if k.source_seen.ph.is_none() && !k.is_mix {
            let found = shown.iter().zip(errors()).map(|((ec, ph), z)| ph + k.ph_noise(Some(*ec)) * z);
            findings.push((Fact::SourcePh, found.collect()));
        }
        findings
    }

    /// How a fact is found out, as the beginning of a sentence.
    fn way(&self, fact: &Fact) -> String {
        let name = |id: &str| self.product(id).map_or_else(String::new, |product| product.pour.name.clone());
        match fact {
            Fact::Alkalinity => "A drop kit for the alkalinity of your source water".to_owned(),
            Fact::Volume => "Measuring the water by jug".to_owned(),
            Fact::PhMeter => match self.knowledge.meter.ph_instrument {
                PhInstrument::Drops | PhInstrument::Strips => {
                    "A reading with a pH meter that was set in buffers".to_owned()
                }
                _ => "Setting the pH pen in buffers".to_owned(),
            },
            Fact::SourceEc => "The EC of your source water".to_owned(),
            Fact::SourcePh => "The pH of your source water".to_owned(),
            Fact::JarTest { product_id } => {
                let role = self.product(product_id).map_or("pH", |product| product.role.words());
                format!("A jar test with your {role} product")
            }
            Fact::FeedLabel { product_id } => {
                format!("The analysis on the label of {}", super::words::lower_first(&name(product_id)))
            }
            Fact::StoodReading => "Letting the fresh water stand overnight, then reading it,".to_owned(),
            Fact::SecondReading => "A second reading".to_owned(),
        }
    }
}

/// What would be done to a range, never more than the number says.
fn narrowed(left: f64, what: &str) -> String {
    let gain = 1.0 - left;
    match gain {
        gain if gain >= 0.75 => format!("leave about a quarter of {what}"),
        gain if gain >= 0.66 => format!("leave about a third of {what}"),
        gain if gain >= 0.49 => format!("about halve {what}"),
        gain if gain >= 0.33 => format!("narrow {what} by about a third"),
        gain if gain >= 0.25 => format!("narrow {what} by about a quarter"),
        _ => format!("narrow {what} by about a fifth"),
    }
}

/// From 1 in 10 below to 1 in 10 above.
fn spread(values: &[f64]) -> f64 {
    let mut values = values.to_vec();
    quantile(&mut values, 0.9) - quantile(&mut values, 0.1)
}

/// What is left of the range of `values` among those with a like finding, on average: the stories in order of the finding, an
/// eighth of them at a time, less the straight line through them, for the finding differs within an eighth, too.
fn left_within(finding: &[f64], values: &[f64]) -> f64 {
    let mut order: Vec<usize> = (0..finding.len()).collect();
    order.sort_by(|&a, &b| finding[a].total_cmp(&finding[b]));
    let size = order.len().div_ceil(BINS).max(3);
    let bins: Vec<f64> = order
        .chunks(size)
        .map(|bin| {
            let n = bin.len() as f64;
            let mean = |of: &[f64]| bin.iter().map(|&i| of[i]).sum::<f64>() / n;
            let (x, y) = (mean(finding), mean(values));
            let xx: f64 = bin.iter().map(|&i| (finding[i] - x).powi(2)).sum();
            let xy: f64 = bin.iter().map(|&i| (finding[i] - x) * (values[i] - y)).sum();
            let slope = if xx > 0.0 { xy / xx } else { 0.0 };
            let off: Vec<f64> = bin.iter().map(|&i| values[i] - y - slope * (finding[i] - x)).collect();
            // A line through so few takes a little of their spread along.
            spread(&off) * (n / (n - 2.0).max(1.0)).sqrt()
        })
        .collect();
    bins.iter().sum::<f64>() / bins.len().max(1) as f64
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Two independent normal causes: knowing one leaves the other's range, `sd_other / sd_both` (variances add; any textbook).
    #[test]
    fn what_is_left_is_the_range_of_the_other_cause() {
        let (a, b) = (normals(11, 256), normals(12, 256));
        for (weight, left) in [(1.0, 0.707), (2.0, 0.447), (0.5, 0.894), (0.0, 1.0)] {
            let values: Vec<f64> = a.iter().zip(&b).map(|(a, b)| weight * a + b).collect();
            let found = left_within(&a, &values) / spread(&values);
            println!("  weight {weight}: {found:.2} left, {left} by the sum of variances");
            assert!((found - left).abs() < 0.1, "{weight}: {found} against {left}");
        }
    }

    /// The words never say more than the number.
    #[test]
    fn words_promise_no_more_than_the_number() {
        for (left, share) in [
            (0.2, "about a quarter of it"),
            (0.3, "about a third of it"),
            (0.5, "about halve it"),
            (0.6, "by about a third"),
            (0.7, "by about a quarter"),
            (0.8, "by about a fifth"),
        ] {
            let words = narrowed(left, "it");
            assert!(words.contains(share), "{left}: {words}");
        }
    }
}
