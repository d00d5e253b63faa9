//! Tests of the window, all headless: the kit and the pages by label and role, rectangles, and pictures to look at.
//!
//! Each module is marked as a test's, for only there do the lints let a test stop at what it expects.

#[cfg(test)]
mod around;
mod card;
#[cfg(test)]
mod clipping;
#[cfg(test)]
mod cpu_renderer;
#[cfg(test)]
mod crops;
#[cfg(test)]
mod crops_page;
#[cfg(test)]
mod desk;
#[cfg(test)]
mod drags;
#[cfg(test)]
mod files;
#[cfg(test)]
mod flows;
#[cfg(test)]
mod hand;
#[cfg(test)]
mod jar;
#[cfg(test)]
mod kit;
#[cfg(test)]
mod library_page;
#[cfg(test)]
mod log;
#[cfg(test)]
mod map_hands;
#[cfg(test)]
mod map_pictures;
#[cfg(test)]
mod map_sight;
#[cfg(test)]
mod map_states;
#[cfg(test)]
mod map_views;
#[cfg(test)]
mod parts;
mod picks;
#[cfg(test)]
mod pictures;
#[cfg(test)]
mod pours;
#[cfg(test)]
mod real_window;
#[cfg(test)]
mod scales;
#[cfg(test)]
mod shelf;
#[cfg(test)]
mod slow;
#[cfg(test)]
mod units;
#[cfg(test)]
mod units_page;
#[cfg(test)]
mod views;
#[cfg(test)]
mod water;
