#pragma once
/// Procedures for engine tests, invented: the shipped ones are tested where the files are loaded.

#include "control/procedure/procedure_spec.hpp"
#include "control/request.hpp"

namespace leeward::bench {

inline control::ProcedureSpec ten_stations() {
  control::ProcedureSpec p;
  p.id = "test-ten";
  for (const double pa : {60., 55., 50., 45., 40., 35., 30., 25., 20., 15., 10.}) p.stations_pa.push_back(pa);
  p.checklist.push_back("Windows closed");
  p.restore.push_back("Seals out");
  return p;
}

inline control::Request start(const control::ProcedureSpec& procedure, double volume_m3, double indoor_c = 20,
                              double outdoor_c = 20,
                              control::DirectionChoice direction = control::DirectionChoice::depressurize) {
  control::Request r;
  r.kind = control::RequestKind::start_run;
  r.run.procedure = procedure;
  r.run.building.name = "Invented house";
  r.run.building.volume_m3 = volume_m3;
  r.run.conditions.indoor_c = indoor_c;
  r.run.conditions.outdoor_c = outdoor_c;
  r.run.conditions.indoor_rh_frac = 0;
  r.run.conditions.outdoor_rh_frac = 0;
  r.run.direction = direction;
  return r;
}

}  // namespace leeward::bench
