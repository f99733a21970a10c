//! Supplier orders: what is ordered ties to what is bought, the form is what it says it is, text stays text, the command
//! does as it is told.

mod bought;
mod command;
mod counter;
mod form;
mod hostile;
mod private;
mod ties;
