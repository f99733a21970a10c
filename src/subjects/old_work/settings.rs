//! Its settings on the Job sheet.

use crate::model::SettingKind::{Choice, Number};
use crate::model::range::range;
use crate::model::setting::settings;
use crate::unit::Unit;

/// The street shutoff cannot be counted on.
pub(super) const DOES_NOT_HOLD: &str = "does not hold";

settings! {
    OldPipeAge, "Old pipe age", ["Age of old pipe", "Age of pipe"], Number(Unit::Ratio), "", "Years that the old pipe has been in: the Old pipe table keeps hours for each joint to it. Blank keeps none.", range!(0, 0, 120, 200);
    OldPipeContingency, "Old pipe contingency", ["Contingency for old pipe"], Number(Unit::Money), "", "Dollars kept for old pipe that breaks further back; blank goes by the Old pipe table and Old pipe age, 0 keeps none.", range!(0, 0, 20000, 1000000);
    StreetShutoff, "Street shutoff", ["Curb stop", "Street valve"], Choice(&["holds", DOES_NOT_HOLD]), "holds", "Whether the shutoff at the street holds. Where it does not, the hours to hold the water another way are in the bid.";
    WallOpenings, "Wall openings", ["Openings", "Access openings"], Number(Unit::Each), "", "Openings of about 12 x 12 in to cut in finished walls and ceilings; blank is none.", range!(0, 0, 100, 1000) => Decides;
    Patching, "Patching", ["Patch price"], Number(Unit::Money), "", "Dollars to have one of the Wall openings patched; blank leaves patching to others.", range!(0, 0, 2000, 100000) => Decides;
    HaulOff, "Haul-off", ["Hauling", "Dump fee"], Number(Unit::Money), "", "Dollars a load to haul off what comes out, dump fee included; 0 counts the hours alone, blank leaves hauling to others.", range!(0, 0, 1000, 100000) => Decides;
    HaulOffLoad, "Haul-off load", ["Load"], Number(Unit::Ratio), "1000", "Pounds that one load takes.", range!(50, 200, 20000, 80000);
}
