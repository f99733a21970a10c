//! The take-off: small layouts counted by hand, laws of counting over jobs that a program thinks up, published figures, and
//! a finished bid changed by hand.

mod along;
mod by_hand;
mod counted;
mod device_trim;
mod ends;
mod findings;
mod forms;
mod framing;
mod layouts;
mod live;
mod published;
mod rings;
mod rough_in;
mod spelled;
mod tees;
mod tempered;
