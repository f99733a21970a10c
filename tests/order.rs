//! Supplier orders: what is ordered ties to what is bought, the form is what it says it is, text stays text, the command
//! does as it is told.

mod support;

#[path = "support/program.rs"]
mod program;
#[path = "support/schema.rs"]
mod schema;

#[path = "order/bought.rs"]
mod bought;
#[path = "order/command.rs"]
mod command;
#[path = "order/form.rs"]
mod form;
#[path = "order/hostile.rs"]
mod hostile;
#[path = "order/private.rs"]
mod private;
#[path = "order/ties.rs"]
mod ties;
