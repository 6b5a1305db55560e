"""An invented workshop to click through: built by the services, as its people would build it."""
