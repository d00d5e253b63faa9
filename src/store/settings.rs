//! Settings: how the window looks and counts. Nothing in them changes an answer.

use std::path::{Path, PathBuf};

use serde::{Deserialize, Serialize};

use super::document::{Handle, Written, read_file};
use super::error::StoreError;
use super::text::{parse, print};
use crate::units::{EcScale, HardnessUnit, MassUnit, TemperatureUnit, VolumeUnit};

/// Version of settings files that this program writes, and the newest that it reads.
///
/// Version 2 adds the units that were open lately. Version 1 is read as it is, for all that it lacks has a default; the number
/// rose so that an older program calls such a file newer, and not broken.
pub const SETTINGS_VERSION: u32 = 2;

/// Units remembered as open lately. Ours: what a menu shows at a glance.
pub const MOST_RECENT: usize = 8;

/// First line of a settings file.
const HEADING: &str = "// Pourcast settings: the window's looks and units. Comments are not kept.";

/// Light or dark.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub enum Theme {
    /// As the system says.
    #[default]
    System,
    /// Light.
    Light,
    /// Dark.
    Dark,
}

impl Theme {
    /// Every choice, in the order a list shows them.
    pub const ALL: [Self; 3] = [Self::System, Self::Light, Self::Dark];

    /// Name for a list of choices.
    pub fn label(self) -> &'static str {
        match self {
            Self::System => "as the system",
            Self::Light => "light",
            Self::Dark => "dark",
        }
    }
}

/// What a person chose for the window.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct Settings {
    /// Light or dark.
    pub theme: Theme,
    /// The unit that was open last.
    pub last_unit: Option<PathBuf>,
    /// Units that were open lately, newest first, at most [`MOST_RECENT`]. Some may be gone since: see [`Self::recent_now`].
    pub recent_units: Vec<PathBuf>,
    /// Tanks and levels.
    pub tank_unit: VolumeUnit,
    /// Pours of liquids.
    pub pour_unit: VolumeUnit,
    /// Pours of powders.
    pub mass_unit: MassUnit,
    /// Conductivity.
    pub ec_scale: EcScale,
    /// Temperature.
    pub temperature_unit: TemperatureUnit,
    /// Alkalinity.
    pub alkalinity_unit: HardnessUnit,
    /// Hardness.
    pub hardness_unit: HardnessUnit,
}

impl Default for Settings {
    /// Metric, mS/cm, mg/L as calcium carbonate, the system's theme.
    fn default() -> Self {
        Self {
            theme: Theme::System,
            last_unit: None,
            recent_units: Vec::new(),
            tank_unit: VolumeUnit::Litre,
            pour_unit: VolumeUnit::Millilitre,
            mass_unit: MassUnit::Gram,
            ec_scale: EcScale::MilliSiemens,
            temperature_unit: TemperatureUnit::Celsius,
            alkalinity_unit: HardnessUnit::MgPerLitreCaCo3,
            hardness_unit: HardnessUnit::MgPerLitreCaCo3,
        }
    }
}

impl Settings {
    /// A unit is open now: the next start opens it again, and it stands first among the recent ones.
    pub fn remember_unit(&mut self, path: &Path) {
        self.recent_units.retain(|other| other != path);
        self.recent_units.insert(0, path.to_owned());
        self.recent_units.truncate(MOST_RECENT);
        self.last_unit = Some(path.to_owned());
    }

    /// A unit's file has another place now; nothing when it is put away.
    pub fn unit_moved(&mut self, from: &Path, to: Option<&Path>) {
        let follow = |path: PathBuf| if path == from { to.map(Path::to_owned) } else { Some(path) };
        self.recent_units = std::mem::take(&mut self.recent_units).into_iter().filter_map(follow).collect();
        self.last_unit = self.last_unit.take().and_then(follow);
    }

    /// The recent units whose files are there.
    pub fn recent_now(&self) -> Vec<&Path> {
        let there = self.recent_units.iter().map(PathBuf::as_path).filter(|path| path.is_file());
        there.take(MOST_RECENT).collect()
    }
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct AnyVersion {
    #[expect(dead_code, reason = "read, and checked, before the rest is parsed")]
    version: u32,
    settings: Settings,
}

#[derive(Serialize)]
struct Newest<'a> {
    version: u32,
    settings: &'a Settings,
}

/// The settings file, with the right to write it.
#[derive(Debug)]
pub struct SettingsFile(Handle);

impl SettingsFile {
    /// Writes the settings, whole or not at all. A path that is not text is left out.
    ///
    /// # Errors
    /// [`StoreError::ChangedOnDisk`], [`StoreError::AlreadyThere`], [`StoreError::ReadOnlyFolder`],
    /// [`StoreError::Write`].
    pub fn write(&mut self, settings: &Settings) -> Result<Written, StoreError> {
        let mut settings = settings.clone();
        settings.last_unit = settings.last_unit.filter(|path| path.to_str().is_some());
        settings.recent_units.retain(|path| path.to_str().is_some());
        let text = print(&Newest { version: SETTINGS_VERSION, settings: &settings }, HEADING, self.0.path())?;
        self.0.write(&text)
    }
}

/// What came of reading the settings: always some to work with.
#[derive(Debug)]
pub struct LoadedSettings {
    /// The settings read, or the defaults.
    pub settings: Settings,
    /// The file; nothing when it failed to load, so that it cannot be overwritten.
    pub file: Option<SettingsFile>,
    /// Why it failed to load, to be told once.
    pub problem: Option<StoreError>,
}

/// Reads the settings. A file that is not there gives the defaults, and is made by the first write; one that fails to
/// load gives the defaults and the problem, and stays as it is.
pub fn read_settings(path: &Path) -> LoadedSettings {
    let read = || -> Result<(Settings, Handle), StoreError> {
        let (path, bytes) = read_file(path)?;
        let AnyVersion { settings, .. } = parse(&bytes, SETTINGS_VERSION, &path)?;
        Ok((settings, Handle::of_read(path, bytes)))
    };
    match read() {
        Ok((settings, handle)) => LoadedSettings { settings, file: Some(SettingsFile(handle)), problem: None },
        Err(StoreError::NotFound { .. }) => LoadedSettings {
            settings: Settings::default(),
            file: Some(SettingsFile(Handle::of_absent(path.to_owned()))),
            problem: None,
        },
        Err(problem) => LoadedSettings { settings: Settings::default(), file: None, problem: Some(problem) },
    }
}
