//! What a trial needs of a tank: the seam at which others put a world of their own.

use pourcast::garden::{JarPoint, Promise, Unit};

/// A tank with a truth of its own and a person beside it who knows less.
///
/// A trial reads, asks for advice, pours what was advised, waits and reads again. Whoever drives the planner against another
/// chemistry implements this: the planner sees [`World::unit`] only, the score [`World::truth`] only.
pub(crate) trait World {
    /// What the person knows. Its log holds all that was done; see [`Unit::record`].
    fn unit(&self) -> &Unit;
    /// The present, Unix seconds.
    fn now_s(&self) -> i64;
    /// True pH just now, and EC in mS/cm as an exact meter of this kind shows it.
    fn truth(&self) -> (f64, f64);
    /// Reads pH and EC, as this meter and this hand do, and logs them.
    fn read(&mut self);
    /// Pours so much of a product (mL or g), as exactly as a hand does, and logs what was meant and told.
    fn pour(&mut self, product_id: &str, amount: f64, promise: Option<Promise>);
    /// Takes so much of the tank's water into a jar, brings the product in it to each amount (mL or g) that `next` asks for after
    /// what was read so far, reads pH, and logs the test. The jar is thrown away.
    fn jar(&mut self, product_id: &str, water_l: f64, next: &dyn Fn(&[JarPoint]) -> Option<f64>);
    /// Takes solution out and adds source water, litres as the person counts them, and logs both.
    fn thin(&mut self, out_l: f64, water_l: f64);
    /// Lets time pass.
    fn wait(&mut self, minutes: u32);
}
