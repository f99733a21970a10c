//! Hours by task, place and form, who does them, and the phases on the calendar: cases worked by hand, and laws of hours over
//! jobs that a program thinks up.

mod support;

#[path = "labor/calendar.rs"]
mod calendar;
#[path = "labor/conditions.rs"]
mod conditions;
#[path = "labor/laws.rs"]
mod laws;
#[path = "labor/rows.rs"]
mod rows;
#[path = "labor/who.rs"]
mod who;
