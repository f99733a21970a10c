//! What buying and deliveries find.

use crate::finding::findings;
use crate::finding::phrases::listed;

findings! {
    /// No stick or coil is long enough for a run.
    NoPipeLongEnough { run: String, needed_ft: String, longest_ft: String } = Fix "no-pipe-long-enough" {
        found: "Run {run} needs {needed_ft} ft with its tails; the longest piece in Prices is {longest_ft} ft, and it \
             may not be joined. It is not in the cut plan.",
        remedy: "Add a longer coil to Prices, or allow joints in the run.",
    }

    /// The pieces of a stick or coil leave less than an inch of it.
    CutToTheEnd { units: Vec<String> } = Note "cut-to-the-end" {
        found: ("The cut plan leaves less than 1 in of {}.", listed(&units)),
        remedy: "Measure twice: a miscut takes another. Buy one to spare, or raise Tail allowance.",
    }

    /// A coil is bought for nipples alone.
    BoughtForNipples { item: String, pack_ft: String, used_in: String } = Note "bought-for-nipples" {
        found: "A {pack_ft} ft coil of {item} is bought for {used_in} in of nipples and nothing else.",
        remedy: "Add that pipe by the foot or the stick to Prices, or an offcut of it to On hand.",
    }

    /// Sticks or coils reach a price break that the cuts were not planned on.
    BreakForPipe { item: String, units: u32, saved: String } = Note "break-for-pipe" {
        found: "{units} Units of {item} reach this price break, and would cost {saved} less at it.",
        remedy: "Cuts are sought at the price of the first Unit, and Buying reckons with it. Ask for the lower price; \
             or write it as the row's own price.",
    }

    /// The cut plan has fewer sticks or coils than are sold.
    UnderLeastSold { item: String, units: u32, least: String } = Fix "under-least-sold" {
        found: "{units} Units of {item} are in the cut plan; {least} are the least that is sold.",
        remedy: "Buy the minimum anyway, or delete that offer. Cut plans do not count the minimum quantity.",
    }

    /// More has come of something than was bought.
    ReceivedNotBought { item: String, received: String, bought: String } = Fix "received-not-bought" {
        found: "{received} of {item} have come and been kept, and {bought} were bought: the rest is still ordered.",
        remedy: "Write the Units that were bought under Bought in Prices; those are not ordered again.",
    }

    /// More is used and returned than has come.
    ReceivedTooFew { item: String } = Fix "received-too-few" {
        found: "More of {item} is used and returned than has come.",
        remedy: "Count again, and write what has come under Received.",
    }

    /// Something has come that the job does not need.
    ReceivedNotNeeded { item: String } = Note "received-not-needed" {
        found: "The take-off needs no {item}: this row stands in no table.",
        remedy: "Write kind, material and size as Prices has them; or take it back.",
    }
}
