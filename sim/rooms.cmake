leeward_room(sim DEPS control/physics)
# The engine against the simulated house: the one place where both meet outside the daemon.
leeward_room(sim/campaign DEPS control sim)
