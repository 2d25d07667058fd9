#include "handwheel/table.h"

#include <algorithm>
#include <cmath>

#include "handwheel/errors.h"
#include "handwheel/readings.h"
#include "network/resolve.h"
#include "steady/plant_view.h"
#include "text/suggest.h"
#include "units/numbers.h"

namespace handwheel {
namespace {

// Fills a table with the parts of one list, whose results start at `first` in network order.
template <typename Part>
class TableOf {
 public:
  TableOf(const Solution& solution, std::string_view kind, const std::vector<Part>& parts,
          std::size_t first)
      : solution_(solution), parts_(parts), first_(first) {
    table_.kind = kind;
    for (const Part& part : parts) table_.names.push_back(part.name);
  }

  template <typename Get>
  TableOf& Text(const char* name, Get get) {
    return Add<std::string>(name, "", get);
  }
  template <typename Get>
  TableOf& Flag(const char* name, Get get) {
    return Add<bool>(name, "", get);
  }
  template <typename Get>
  TableOf& Number(const char* name, const char* unit, Get get) {
    return Add<double>(name, unit, get);
  }

  // One of the solution's own arrays.
  TableOf& Result(const char* name, const char* unit, const std::vector<double>& values) {
    return Slice<double>(name, unit, values);
  }
  TableOf& Result(const char* name, const std::vector<bool>& values) {
    return Slice<bool>(name, "", values);
  }

  TableOf& FromTo() {
    Text("from", [](const Part& part) { return part.from; });
    return Text("to", [](const Part& part) { return part.to; });
  }

  TableOf& Motion() {
    Result("flow", "m3/s", solution_.flow());
    Result("velocity", "m/s", solution_.velocity());
    Result("drop", "m", solution_.drop());
    return PressureOf("loss", 1.0);
  }

  // The drop as a pressure: of friction and fittings alone, without the difference in elevation.
  TableOf& PressureOf(const char* name, double sign) {
    const double weight = solution_.liquid().density * solution_.network().site.gravity;
    std::vector<double> values;
    for (std::size_t i = 0; i < parts_.size(); ++i) {
      values.push_back(sign * weight * solution_.drop()[first_ + i]);
    }
    table_.columns.push_back({name, "Pa", std::move(values)});
    return *this;
  }

  TableOf& State() {
    std::vector<std::string> values;
    for (std::size_t i = 0; i < parts_.size(); ++i) {
      values.emplace_back(FlowStateName(solution_.state()[first_ + i]));
    }
    table_.columns.push_back({"state", "", std::move(values)});
    return *this;
  }

  // A number that follows from the part and its place in the result arrays.
  template <typename Get>
  TableOf& Derived(const char* name, const char* unit, Get get) {
    std::vector<double> values;
    for (std::size_t i = 0; i < parts_.size(); ++i) values.push_back(get(parts_[i], first_ + i));
    table_.columns.push_back({name, unit, std::move(values)});
    return *this;
  }

  // A member of the readings of the parts.
  template <typename Reading, typename Value>
  TableOf& Read(const char* name, const char* unit, const std::vector<Reading>& readings,
                Value Reading::*member) {
    std::vector<Value> values;
    for (const Reading& reading : readings) values.push_back(reading.*member);
    table_.columns.push_back({name, unit, std::move(values)});
    return *this;
  }

  ResultTable Take() { return std::move(table_); }

 private:
  template <typename Type, typename Get>
  TableOf& Add(const char* name, const char* unit, Get get) {
    std::vector<Type> values;
    for (const Part& part : parts_) values.push_back(get(part));
    table_.columns.push_back({name, unit, std::move(values)});
    return *this;
  }

  template <typename Type>
  TableOf& Slice(const char* name, const char* unit, const std::vector<Type>& values) {
    const auto begin = values.begin() + static_cast<std::ptrdiff_t>(first_);
    table_.columns.push_back(
        {name, unit, std::vector<Type>(begin, begin + static_cast<std::ptrdiff_t>(parts_.size()))});
    return *this;
  }

  const Solution& solution_;
  const std::vector<Part>& parts_;
  std::size_t first_;
  ResultTable table_;
};

ResultTable Vessels(const Solution& s) {
  return TableOf(s, "vessels", s.network().vessels, 0)
      .Number("elevation", "m", [](const Vessel& v) { return v.elevation; })
      .Number("level", "m", [](const Vessel& v) { return v.level; })
      .Number("gas pressure", "Pa", [](const Vessel& v) { return v.gas_pressure; })
      .Result("head", "m", s.head())
      .Result("pressure", "Pa", s.pressure())
      .Result("outflow", "m3/s", s.outflow())
      .Take();
}

ResultTable Junctions(const Solution& s) {
  return TableOf(s, "junctions", s.network().junctions, s.network().vessels.size())
      .Number("elevation", "m", [](const Junction& j) { return j.elevation; })
      .Number("draw", "m3/s", [](const Junction& j) { return j.draw; })
      .Number("feed", "m3/s", [](const Junction& j) { return j.feed; })
      .Result("head", "m", s.head())
      .Result("pressure", "Pa", s.pressure())
      .Result("shut in", s.shut_in())
      .Take();
}

ResultTable Pipes(const Solution& s) {
  const std::vector<PipeReading> readings = ReadPipes(s);
  return TableOf(s, "pipes", s.network().pipes, 0)
      .FromTo()
      .Number("length", "m", [](const Pipe& pipe) { return pipe.length; })
      .Number("bore", "m", [](const Pipe& pipe) { return BoreOf(pipe); })
      .Motion()
      .Read("Reynolds number", "-", readings, &PipeReading::reynolds)
      .Read("regime", "", readings, &PipeReading::regime)
      .Read("lowest absolute pressure", "Pa", readings, &PipeReading::lowest_pressure)
      .Read("deposition velocity", "m/s", readings, &PipeReading::deposition_velocity)
      .State()
      .Take();
}

ResultTable Valves(const Solution& s) {
  const std::vector<ValveReading> readings = ReadValves(s);
  return TableOf(s, "valves", s.network().valves, KindOffsets(s.network()).valves)
      .FromTo()
      .Text("kind", [](const Valve& valve) { return valve.kind; })
      .Text("condition", [](const Valve& valve) { return valve.condition; })
      .Number("opening", "-", [](const Valve& valve) { return valve.opening; })
      .Read("turns open", "-", readings, &ValveReading::turns_open)
      .Read("turns in", "-", readings, &ValveReading::turns_in)
      .Read("stem travel", "m", readings, &ValveReading::travel)
      .Motion()
      .Read("Kv", "m3/h", readings, &ValveReading::kv_m3_per_h)
      .Read("FR", "-", readings, &ValveReading::reynolds_factor)
      .Read("FL", "-", readings, &ValveReading::recovery_factor)
      .Read("absolute inlet pressure", "Pa", readings, &ValveReading::inlet_pressure)
      .Read("absolute outlet pressure", "Pa", readings, &ValveReading::outlet_pressure)
      .Read("xF", "-", readings, &ValveReading::drop_ratio)
      .Read("xFz", "-", readings, &ValveReading::cavitation_ratio)
      .Read("choked drop", "Pa", readings, &ValveReading::choked_drop)
      .Result("leak", "m3/s", s.leak())
      .State()
      .Take();
}

ResultTable CheckValves(const Solution& s) {
  const std::vector<CheckValveReading> readings = ReadCheckValves(s);
  return TableOf(s, "check valves", s.network().check_valves, KindOffsets(s.network()).check_valves)
      .FromTo()
      .Text("kind", [](const CheckValve& valve) { return valve.kind; })
      .Text("condition", [](const CheckValve& valve) { return valve.condition; })
      .Motion()
      .Read("disc", "", readings, &CheckValveReading::disc)
      .Read("lift", "-", readings, &CheckValveReading::lift)
      .Read("minimum velocity", "m/s", readings, &CheckValveReading::min_velocity)
      .Read("velocity over minimum", "-", readings, &CheckValveReading::velocity_margin)
      .Read("cracking pressure", "Pa", readings, &CheckValveReading::cracking_pressure)
      .Read("full-lift drop", "Pa", readings, &CheckValveReading::full_lift_drop)
      .State()
      .Take();
}

ResultTable Pumps(const Solution& s) {
  const double weight = s.liquid().density * s.network().site.gravity;
  const std::vector<PumpReading> readings = ReadPumps(s);
  return TableOf(s, "pumps", s.network().pumps, KindOffsets(s.network()).pumps)
      .FromTo()
      .Flag("running", [](const Pump& pump) { return pump.running; })
      .Number("speed", "-", [](const Pump& pump) { return pump.speed; })
      .Result("flow", "m3/s", s.flow())
      .Derived("gain", "m", [&](const Pump&, std::size_t l) { return -s.drop()[l]; })
      .PressureOf("rise", -1.0)
      .Derived("hydraulic power", "W",
               [&](const Pump&, std::size_t l) { return -s.drop()[l] * weight * s.flow()[l]; })
      .Read("efficiency", "-", readings, &PumpReading::efficiency)
      .Read("shaft power", "W", readings, &PumpReading::shaft_power)
      .Read("NPSH available", "m", readings, &PumpReading::npsh_available)
      .Read("NPSH required", "m", readings, &PumpReading::npsh_required)
      .Read("flow over best", "-", readings, &PumpReading::flow_over_best)
      .Read("region", "", readings, &PumpReading::region)
      .Read("viscous flow factor", "-", readings, &PumpReading::flow_factor)
      .Read("viscous head factor", "-", readings, &PumpReading::head_factor)
      .Read("viscous efficiency factor", "-", readings, &PumpReading::efficiency_factor)
      .Read("reverse speed", "-", readings, &PumpReading::reverse_speed)
      .State()
      .Take();
}

ResultTable Restrictions(const Solution& s) {
  return TableOf(s, "restrictions", s.network().restrictions, KindOffsets(s.network()).restrictions)
      .FromTo()
      .Motion()
      .State()
      .Take();
}

ResultTable Nozzles(const Solution& s) {
  return TableOf(s, "nozzles", s.network().nozzles, KindOffsets(s.network()).nozzles)
      .Text("from", [](const Nozzle& nozzle) { return nozzle.from; })
      .Number("bore", "m", [](const Nozzle& nozzle) { return BoreOf(nozzle); })
      .Motion()
      .State()
      .Take();
}

ResultTable Regulators(const Solution& s) {
  const std::vector<RegulatorReading> readings = ReadRegulators(s);
  return TableOf(s, "regulators", s.network().regulators, KindOffsets(s.network()).regulators)
      .FromTo()
      .Text("kind", [](const Regulator& regulator) { return regulator.kind; })
      .Number("set pressure", "Pa",
              [](const Regulator& regulator) { return regulator.set_pressure.value_or(kNaN); })
      .Number("set flow", "m3/s",
              [](const Regulator& regulator) { return regulator.set_flow.value_or(kNaN); })
      .Motion()
      .Read("held pressure", "Pa", readings, &RegulatorReading::held_pressure)
      .Read("opening", "-", readings, &RegulatorReading::opening)
      .State()
      .Take();
}

ResultTable ReliefValves(const Solution& s) {
  const std::vector<ReliefValveReading> readings = ReadReliefValves(s);
  return TableOf(s, "relief valves", s.network().relief_valves,
                 KindOffsets(s.network()).relief_valves)
      .FromTo()
      .Number("set pressure", "Pa", [](const ReliefValve& valve) { return valve.set_pressure; })
      .Result("flow", "m3/s", s.flow())
      .Read("excess", "Pa", readings, &ReliefValveReading::excess)
      .Read("lift", "-", readings, &ReliefValveReading::lift)
      .Read("rated flow", "m3/s", readings, &ReliefValveReading::rated_flow)
      .State()
      .Take();
}

// A row of the tables that hold every kind.
struct AnyPart {
  std::string name, kind, from, to;
  double elevation = kNaN;
};

ResultTable Points(const Solution& s) {
  std::vector<AnyPart> parts;
  for (const Vessel& v : s.network().vessels)
    parts.push_back({v.name, "vessel", "", "", v.elevation});
  for (const Junction& j : s.network().junctions) {
    parts.push_back({j.name, "junction", "", "", j.elevation});
  }
  return TableOf(s, "points", parts, 0)
      .Text("kind", [](const AnyPart& part) { return part.kind; })
      .Number("elevation", "m", [](const AnyPart& part) { return part.elevation; })
      .Result("head", "m", s.head())
      .Result("pressure", "Pa", s.pressure())
      .Result("outflow", "m3/s", s.outflow())
      .Result("shut in", s.shut_in())
      .Take();
}

ResultTable Components(const Solution& s) {
  std::vector<AnyPart> parts;
  const auto add = [&](const char* kind, const auto& list) {
    for (const auto& part : list) parts.push_back({part.name, kind, part.from, part.to, kNaN});
  };
  add("pipe", s.network().pipes);
  add("valve", s.network().valves);
  add("check valve", s.network().check_valves);
  add("pump", s.network().pumps);
  add("restriction", s.network().restrictions);
  for (const Nozzle& nozzle : s.network().nozzles) {
    parts.push_back({nozzle.name, "nozzle", nozzle.from, "", kNaN});
  }
  add("regulator", s.network().regulators);
  add("relief valve", s.network().relief_valves);
  return TableOf(s, "components", parts, 0)
      .Text("kind", [](const AnyPart& part) { return part.kind; })
      .FromTo()
      .Motion()
      .Result("leak", "m3/s", s.leak())
      .State()
      .Take();
}

using MakeTable = ResultTable (*)(const Solution&);

const std::vector<std::pair<std::string, MakeTable>>& Makers() {
  static const std::vector<std::pair<std::string, MakeTable>> makers = {
      {"points", Points},
      {"components", Components},
      {"vessels", Vessels},
      {"junctions", Junctions},
      {"pipes", Pipes},
      {"valves", Valves},
      {"check valves", CheckValves},
      {"pumps", Pumps},
      {"restrictions", Restrictions},
      {"nozzles", Nozzles},
      {"regulators", Regulators},
      {"relief valves", ReliefValves},
  };
  return makers;
}

}  // namespace

std::string Column::Heading() const {
  return unit.empty() ? name : name + " [" + unit + "]";
}

std::vector<std::string> TableNames() {
  std::vector<std::string> names;
  for (const auto& [name, make] : Makers()) names.push_back(name);
  return names;
}

ResultTable Tabulate(const Solution& solution, std::string_view table) {
  std::string wanted(table);
  std::replace(wanted.begin(), wanted.end(), '_', ' ');
  for (const auto& [name, make] : Makers()) {
    if (name == wanted) return make(solution);
  }
  throw NetworkError("no table is named " + Quoted(table) + ";" + Suggest(table, TableNames()));
}

}  // namespace handwheel
