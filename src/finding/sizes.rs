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

/// A run that is larger than the run which feeds it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LargerRun {
    pub run: String,
    pub size: String,
    pub feeder: String,
    pub feeder_size: String,
}
