#include <pybind11/stl.h>
#include <pybind11/stl/filesystem.h>

#include <filesystem>

#include "bindings.h"
#include "errors.h"
#include "handwheel/file.h"
#include "indexed_network.h"
#include "part.h"
#include "text/suggest.h"
#include "values.h"

namespace py = pybind11;

namespace handwheel::python {
namespace {

using SharedNetwork = std::shared_ptr<IndexedNetwork>;

SharedNetwork Share(Network network) {
  return std::make_shared<IndexedNetwork>(std::move(network));
}

SharedNetwork Load(const std::filesystem::path& path) {
  py::gil_scoped_release others_may_run;
  return Share(LoadNetwork(path.string()));
}

SharedNetwork Loads(const std::string& text, const std::string& name) {
  py::gil_scoped_release others_may_run;
  return Share(ParseNetwork(text, name));
}

// --- Parts by name ---

py::object PartAt(const SharedNetwork& net, const Place& place) {
  switch (place.kind) {
    case Kind::kVessel:
      return py::cast(Part<Vessel>(net, &Network::vessels, place.index));
    case Kind::kJunction:
      return py::cast(Part<Junction>(net, &Network::junctions, place.index));
    case Kind::kPipe:
      return py::cast(Part<Pipe>(net, &Network::pipes, place.index));
    case Kind::kValve:
      return py::cast(Part<Valve>(net, &Network::valves, place.index));
    case Kind::kCheckValve:
      return py::cast(Part<CheckValve>(net, &Network::check_valves, place.index));
    case Kind::kPump:
      return py::cast(Part<Pump>(net, &Network::pumps, place.index));
    case Kind::kRestriction:
      return py::cast(Part<Restriction>(net, &Network::restrictions, place.index));
    case Kind::kNozzle:
      return py::cast(Part<Nozzle>(net, &Network::nozzles, place.index));
    case Kind::kRegulator:
      return py::cast(Part<Regulator>(net, &Network::regulators, place.index));
    case Kind::kReliefValve:
      return py::cast(Part<ReliefValve>(net, &Network::relief_valves, place.index));
  }
  return py::none();
}

std::vector<std::string> NamesOf(const Network& net) {
  std::vector<std::string> names = net.PointNames();
  for (std::string& name : net.ComponentNames()) names.push_back(std::move(name));
  return names;
}

py::object PartNamed(const SharedNetwork& net, const std::string& name) {
  if (const auto place = net->Find(name)) return PartAt(net, *place);
  throw NoSuchName("part", name, NamesOf(*net));
}

// --- Adding ---

py::object Add(const SharedNetwork& net, const char* kind, Settings properties,
               const py::kwargs& further) {
  const std::string name = std::get<std::string>(properties.front().second);
  if (net->Find(name)) {
    throw NetworkError("a part is already named " + Quoted(name) + "; choose another name.", name,
                       "name");
  }
  AppendProperties(further, &properties);
  net->AddPart(kind, properties);
  return PartAt(net, *net->Find(name));
}

py::object AddPoint(const SharedNetwork& net, const char* kind, const std::string& name,
                    const py::kwargs& properties) {
  return Add(net, kind, {{"name", name}}, properties);
}

py::object AddComponent(const SharedNetwork& net, const char* kind, const std::string& name,
                        const std::string& from, const std::string& to,
                        const py::kwargs& properties) {
  return Add(net, kind, {{"name", name}, {"from", from}, {"to", to}}, properties);
}

Case AddCase(IndexedNetwork& net, const std::string& name, py::object set,
             const std::string& note) {
  for (const Case& existing : net.cases) {
    if (existing.name == name) {
      throw NetworkError("a case is already named " + Quoted(name) + "; choose another name.", name,
                         "name");
    }
  }
  Case added{name, note, ToSettings(set)};
  Network(net).Apply(added.set);  // throws for what does not exist
  net.cases.push_back(added);
  return added;
}

std::vector<std::string> CaseNames(const IndexedNetwork& net) {
  std::vector<std::string> names;
  for (const Case& item : net.cases) names.push_back(item.name);
  return names;
}

std::string NetworkRepr(const IndexedNetwork& net) {
  const std::size_t components = net.pipes.size() + net.valves.size() + net.check_valves.size() +
                                 net.pumps.size() + net.restrictions.size() + net.nozzles.size() +
                                 net.regulators.size() + net.relief_valves.size();
  return "<Network " + Quoted(net.title) + ": " +
         std::to_string(net.vessels.size() + net.junctions.size()) + " points, " +
         std::to_string(components) + " components, " + std::to_string(net.cases.size()) +
         " cases>";
}

using NetworkClass = py::class_<IndexedNetwork, SharedNetwork>;

// A list of live views, one per part of a kind, in the order given.
template <typename T>
void BindList(NetworkClass& cls, const char* name, std::vector<T> Network::*list, const char* doc) {
  cls.def_property_readonly(
      name, [list](const SharedNetwork& net) { return PartsOf<T>(net, list); }, doc);
}

void BindLists(NetworkClass& cls) {
  BindList(cls, "vessels", &Network::vessels, "The vessels, live views in the order given.");
  BindList(cls, "junctions", &Network::junctions, "The junctions, live views in the order given.");
  BindList(cls, "pipes", &Network::pipes, "The pipes, live views in the order given.");
  BindList(cls, "valves", &Network::valves, "The valves, live views in the order given.");
  BindList(cls, "check_valves", &Network::check_valves,
           "The check valves, live views in the order given.");
  BindList(cls, "pumps", &Network::pumps, "The pumps, live views in the order given.");
  BindList(cls, "restrictions", &Network::restrictions,
           "The restrictions, live views in the order given.");
  BindList(cls, "nozzles", &Network::nozzles, "The nozzles, live views in the order given.");
  BindList(cls, "regulators", &Network::regulators,
           "The regulators, live views in the order given.");
  BindList(cls, "relief_valves", &Network::relief_valves,
           "The relief valves, live views in the order given.");
  cls.def_property_readonly("point_names", &Network::PointNames,
                            "Names of vessels, then junctions: the order of results by point.");
  cls.def_property_readonly(
      "component_names", &Network::ComponentNames,
      "Names of pipes, valves, check valves, pumps, restrictions, nozzles: the\n"
      "order of results by component.");
}

void BindSections(NetworkClass& cls) {
  cls.def_property(
      "title", [](const IndexedNetwork& net) { return net.title; },
      [](IndexedNetwork& net, const std::string& title) { net.title = title; },
      "A short title for the reader.");
  cls.def_property(
      "story", [](const IndexedNetwork& net) { return net.story; },
      [](IndexedNetwork& net, const std::string& story) { net.story = story; },
      "A few sentences for the reader.");
  cls.def_property_readonly(
      "fluid",
      [](const SharedNetwork& net) { return Section<Fluid>(net, &Network::fluid, "fluid"); },
      "The liquid, a live view: net.fluid.temperature = \"60 degC\".");
  cls.def_property_readonly(
      "site", [](const SharedNetwork& net) { return Section<Site>(net, &Network::site, "site"); },
      "Gravity and atmospheric pressure, a live view.");
  cls.def_property_readonly(
      "model",
      [](const SharedNetwork& net) { return Section<ModelChoices>(net, &Network::model, "model"); },
      "Choices that hold for every pipe, a live view.");
}

void BindAdding(NetworkClass& cls) {
  cls.def(
      "add_vessel",
      [](const SharedNetwork& net, const std::string& name, const py::kwargs& properties) {
        return AddPoint(net, "vessel", name, properties);
      },
      py::arg("name"),
      "Adds a Vessel: elevation [m], level [m], gas_pressure [Pa gauge], area [m²]; SI numbers or\n"
      "texts with a unit. Raises NetworkError for an unknown property or an unfit value.");
  cls.def(
      "add_junction",
      [](const SharedNetwork& net, const std::string& name, const py::kwargs& properties) {
        return AddPoint(net, "junction", name, properties);
      },
      py::arg("name"),
      "Adds a Junction: elevation [m], draw [m³/s] or feed [m³/s]. Raises as add_vessel does.");
  const auto component = [&](const char* method, const char* kind, const char* doc) {
    cls.def(
        method,
        [kind](const SharedNetwork& net, const std::string& name, const std::string& from,
               const std::string& to, const py::kwargs& properties) {
          return AddComponent(net, kind, name, from, to, properties);
        },
        py::arg("name"), py::arg("from_"), py::arg("to"), doc);
  };
  component("add_pipe", "pipe",
            "Adds a Pipe: length [m], bore [m] or size and schedule, roughness [m] or material,\n"
            "fittings {trade name: count}, k, friction_factor, hazen_williams_c. Raises as\n"
            "add_vessel does; whether `from_` and `to` exist is checked by validate and solve.");
  component("add_valve", "valve",
            "Adds a Valve: kind, bore [m] or size, opening, kv, cv [m³/s] or k, curve, normally,\n"
            "condition and the other properties of a Valve. Raises as add_vessel does.");
  component(
      "add_check_valve", "check_valve",
      "Adds a CheckValve: kind, bore [m] or size, orientation, assist, condition, kv, cv [m³/s]\n"
      "or k, cracking_pressure [Pa], leak_kv [m³/s] and the other properties of a CheckValve.\n"
      "Raises as add_vessel does.");
  component(
      "add_pump", "pump",
      "Adds a Pump: curve [(flow [m³/s], head [m]), ...] or coefficients (a, b, c), running,\n"
      "speed, rated_flow [m³/s], efficiency, npsh; or kind \"positive displacement\" with its\n"
      "displacement [m³/s]; and the other properties of a Pump. Raises as add_vessel does.");
  component(
      "add_restriction", "restriction",
      "Adds a Restriction: k with bore [m] or size, or kv or cv [m³/s], or rated_drop [Pa] at\n"
      "rated_flow [m³/s]. Raises as add_vessel does.");
  cls.def(
      "add_nozzle",
      [](const SharedNetwork& net, const std::string& name, const std::string& from,
         const py::kwargs& properties) {
        return Add(net, "nozzle", {{"name", name}, {"from", from}}, properties);
      },
      py::arg("name"), py::arg("from_"),
      "Adds a Nozzle: bore [m] or size, k, elevation [m]. Raises as add_vessel does.");
  component(
      "add_regulator", "regulator",
      "Adds a Regulator: kind, bore [m] or size, kv, cv [m³/s] or k, set_pressure [Pa gauge] or\n"
      "set_flow [m³/s], droop [Pa] with rated_flow [m³/s]. Raises as add_vessel does.");
  cls.def(
      "add_relief_valve",
      [](const SharedNetwork& net, const std::string& name, const std::string& from,
         const std::string& to, const py::kwargs& properties) {
        return AddComponent(net, "relief_valve", name, from, to, properties);
      },
      py::arg("name"), py::arg("from_"), py::arg("to") = "",
      "Adds a ReliefValve, to the open air unless `to` names a point: set_pressure [Pa],\n"
      "overpressure, balanced, and kv, cv [m³/s] or area [m²]. Raises as add_vessel does.");
  cls.def("add_case", &AddCase, py::arg("name"), py::arg("set") = py::dict(), py::arg("note") = "",
          "Adds a Case, a named set of settings {\"component.property\": value}. Raises\n"
          "SettingError if they cannot be applied, NetworkError if the name is taken.");
}

void BindSettings(NetworkClass& cls) {
  cls.def(
      "get",
      [](const IndexedNetwork& net, const std::string& target) {
        return FromValue(net.Get(target));
      },
      py::arg("target"),
      "The value of \"component.property\": SI where it has a unit, a list of pairs for curves "
      "and\n"
      "fittings, empty text if not given. Raises SettingError if there is no such thing.");
  cls.def(
      "set", [](IndexedNetwork& net, py::object settings) { net.Apply(ToSettings(settings)); },
      py::arg("settings"),
      "Applies {\"component.property\": value}, all or, where one is at fault, none. Values are "
      "SI\n"
      "numbers, texts with a unit, True or False. Raises SettingError.");
  cls.def_property_readonly("cases", &CaseNames, "The names of the cases.");
  cls.def(
      "case", [](const IndexedNetwork& net, const std::string& name) { return net.FindCase(name); },
      py::arg("name"), "The Case of that name, a copy. Raises NetworkError if there is none.");
  cls.def(
      "apply_case", [](IndexedNetwork& net, const std::string& name) { net.ApplyCase(name); },
      py::arg("name"), "Applies the settings of a case for good. Raises NetworkError.");
}

void BindFiles(py::module_& m, NetworkClass& cls) {
  m.def("load", &Load, py::arg("path"),
        "Reads and validates a network file (TOML). Raises FileError, with line and column.");
  m.def("loads", &Loads, py::arg("text"), py::arg("name") = "<text>",
        "Reads and validates a network from text; `name` stands for the file in messages.\n"
        "Raises FileError, with line and column.");
  cls.def(
      "save",
      [](const IndexedNetwork& net, const std::filesystem::path& path) {
        SaveNetwork(net, path.string());
      },
      py::arg("path"),
      "Writes a network file; a failure leaves no half-written one. Raises FileError.");
  cls.def(
      "dumps", [](const IndexedNetwork& net) { return FormatNetwork(net); },
      "The text of a network file. Reading it back gives an equal Network.");
  cls.def(
      "validate", [](const IndexedNetwork& net) { net.Validate(); },
      "Raises NetworkError for the first thing that is wrong; solve does this too.");
}

void BindProtocols(NetworkClass& cls) {
  cls.def("__getitem__", &PartNamed, py::arg("name"),
          "The part of that name, a live view. Raises UnknownNameError.");
  cls.def(
      "__contains__",
      [](const IndexedNetwork& net, const std::string& name) { return net.Find(name).has_value(); },
      py::arg("name"));
  cls.def(
      "__eq__",
      [](const IndexedNetwork& a, const IndexedNetwork& b) {
        return static_cast<const Network&>(a) == static_cast<const Network&>(b);
      },
      py::is_operator());
  cls.attr("__hash__") = py::none();
  const auto copy = [](const IndexedNetwork& net) { return Share(net); };
  cls.def("copy", copy, "An independent copy.");
  cls.def("__copy__", copy);
  cls.def(
      "__deepcopy__", [copy](const IndexedNetwork& net, py::dict) { return copy(net); },
      py::arg("memo"));
  cls.def(py::pickle([](const IndexedNetwork& net) { return FormatNetwork(net); },
                     [](const std::string& text) { return Loads(text, "<pickle>"); }));
  cls.def("__repr__", &NetworkRepr);
}

}  // namespace

void BindNetwork(py::module_& m) {
  NetworkClass cls(
      m, "Network",
      "A whole plant. Points are ordered vessels, junctions; components pipes, valves,\n"
      "check valves, pumps, restrictions, nozzles, regulators, relief valves. net[\"HV-3\"] is a "
      "part\n"
      "by name.");
  cls.def(py::init<>(), "An empty network, to be built with the add_ methods.");
  BindSections(cls);
  BindLists(cls);
  BindAdding(cls);
  BindSettings(cls);
  BindFiles(m, cls);
  BindProtocols(cls);
}

}  // namespace handwheel::python
