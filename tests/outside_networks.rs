//! Outside checks of the task network: published projects and networks with lags.

#[path = "outside/networks.rs"]
mod networks;
