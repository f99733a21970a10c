//! Hours by task, place and form, who does them, and the phases on the calendar: cases worked by hand, and laws of hours over
//! jobs that a program thinks up.

mod calendar;
mod conditions;
mod house;
mod laws;
mod rows;
mod who;
