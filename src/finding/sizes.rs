//! Facts of findings about sizes that are more than a word or a number.

/// The rise of the way, among what takes pressure: nobody can change it.
pub const HEIGHT: &str = "height";

/// One change that lets every outlet keep its pressure.
#[derive(Debug, Clone, PartialEq)]
pub enum SingleChange {
    MainSize { size: String },
    RunFreed { run: String, size: String },
    RunReplaced { run: String, size: String },
    DeviceLoss { device: String, psi: String, gpm: String },
    RegulatorSet { device: String, psi: String },
}

/// An outlet that is short of pressure: what is left at the end of its run, what is needed there, and what it lacks of that
/// and of Pressure to spare, psi.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ShortOutlet {
    pub run: String,
    pub left: String,
    pub need: String,
    pub by: String,
}

/// A run in which water is too fast, ft/s. `wanting` is the pipe that would keep the limit and that Prices does not offer.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FastRun {
    pub run: String,
    pub size: String,
    pub velocity: String,
    pub limit: String,
    pub wanting: Option<String>,
}

/// A run that is larger than the run which feeds it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LargerRun {
    pub run: String,
    pub size: String,
    pub feeder: String,
    pub feeder_size: String,
}
