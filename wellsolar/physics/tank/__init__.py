"""The tank of hot water: stratified through time, its losses, its dangers."""
