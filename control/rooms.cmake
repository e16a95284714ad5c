leeward_room(control/physics)
leeward_room(control/signal)
leeward_room(control/estimate DEPS control/physics control/signal LIBS Eigen3::Eigen)
leeward_room(control/regulate DEPS control/physics control/signal control/estimate)
leeward_room(control/restriction DEPS control/physics control/estimate)
leeward_room(control/guard DEPS control/signal)
# Boost.Math stays inside one file of this room (Student's t).
leeward_room(control/analysis DEPS control/physics control/signal LIBS Eigen3::Eigen Boost::headers)
leeward_room(control/procedure DEPS control/physics control/signal control/estimate control/regulate
  control/restriction control/guard control/analysis)
leeward_room(control DEPS control/physics control/signal control/estimate control/regulate
  control/restriction control/procedure control/guard control/analysis)
