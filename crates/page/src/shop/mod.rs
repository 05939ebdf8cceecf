//! The page for the shop: what to do next, and the plan.

mod anvil;
mod cuts;
mod heats;
mod live;
mod numbers;
pub(crate) mod page;
mod stations;
mod tasks;
mod things;
mod twists;
