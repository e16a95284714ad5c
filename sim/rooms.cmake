leeward_room(sim DEPS control/physics)
