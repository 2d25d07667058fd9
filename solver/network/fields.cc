#include "network/fields.h"

#include "correlations/check_valve_kind.h"
#include "correlations/fittings.h"
#include "correlations/rheology.h"
#include "correlations/roughness.h"
#include "correlations/seat_leakage.h"
#include "correlations/valve_characteristic.h"
#include "network/rules.h"
#include "text/cat.h"
#include "text/suggest.h"

namespace handwheel {
namespace {

// --- What a property may be ----------------------------------------------------------------------

constexpr double kInfinity = std::numeric_limits<double>::infinity();

constexpr Range kNotNegative{0.0};
constexpr Range kPositive{0.0, kInfinity, true};
constexpr Range kFraction{0.0, 1.0};
constexpr Range kPositiveFraction{0.0, 1.0, true};
constexpr Range kFractionBelowOne{0.0, 1.0, false, true};
constexpr Range kAtLeastOne{1.0};
constexpr Range kAboveOne{1.0, kInfinity, true};
// No process pipe is wider than 10 m; a bare 80 that was meant in millimetres is.
constexpr Range kBoreRange{0.0, 10.0, true};
// No relief valve passes 3600 m³/h at 1 bar or has an orifice of 1 m²; a bare number that was meant
// in m³/h or mm² does.
constexpr Range kReliefRange{0.0, 1.0, true};

constexpr Axis Number(Range range = {}) {
  return {Dimension::kNumber, "", range};
}
constexpr Axis Metres(Range range = {}) {
  return {Dimension::kLength, "m", range};
}
constexpr Axis Millimetres(Range range = {}) {
  return {Dimension::kLength, "mm", range};
}
constexpr Axis SquareMetres(Range range = {}) {
  return {Dimension::kArea, "m2", range};
}
constexpr Axis SquareMillimetres(Range range = {}) {
  return {Dimension::kArea, "mm2", range};
}
constexpr Axis MetresPerSecond(Range range = {}) {
  return {Dimension::kVelocity, "m/s", range};
}
constexpr Axis CubicMetresPerHour(Range range = {}) {
  return {Dimension::kFlow, "m3/h", range};
}
constexpr Axis Gpm(Range range = {}) {
  return {Dimension::kFlow, "gpm", range};
}
constexpr Axis Bar(Range range = {}) {
  return {Dimension::kPressure, "bar", range};
}
constexpr Axis KiloPascal(Range range = {}) {
  return {Dimension::kPressure, "kPa", range};
}
constexpr Axis Pascal(Range range = {}) {
  return {Dimension::kPressure, "Pa", range};
}
constexpr Axis KiloWatt(Range range = {}) {
  return {Dimension::kPower, "kW", range};
}
constexpr Axis GigaPascal(Range range = {}) {
  return {Dimension::kPressure, "GPa", range};
}
constexpr Axis Seconds(Range range = {}) {
  return {Dimension::kTime, "s", range};
}
constexpr Axis Celsius(Range range = {}) {
  return {Dimension::kTemperature, "degC", range};
}
constexpr Axis Density(Range range = {}) {
  return {Dimension::kDensity, "kg/m3", range};
}
constexpr Axis DynamicViscosity(Range range = {}) {
  return {Dimension::kDynamicViscosity, "mPa.s", range};
}

template <std::vector<std::string> (*Names)()>
const std::vector<std::string>& Known() {
  static const std::vector<std::string> names = Names();
  return names;
}

std::vector<std::string> ValveConditionNames() {
  return {"sound",           "passing", "blocked", "diaphragm cut", "sleeve not reopening",
          "sleeve collapsed"};
}
std::vector<std::string> CheckValveConditionNames() {
  return {"sound", "passing", "stuck open"};
}
std::vector<std::string> PumpKindNames() {
  return {"centrifugal", "positive displacement"};
}
std::vector<std::string> RotorNames() {
  return {"held", "free"};
}
std::vector<std::string> RegulatorKindNames() {
  return {"pressure-reducing", "back-pressure", "flow-limiting"};
}
std::vector<std::string> RestraintNames() {
  return {"anchored", "anchored upstream", "expansion joints"};
}
std::vector<std::string> NormalPositionNames() {
  return {"open", "closed"};
}

// --- How a property is declared ------------------------------------------------------------------

template <typename Part, typename Type>
Part PartOf(Type Part::*);

template <auto Member>
Slot MemberSlot(void* part) {
  using Part = decltype(PartOf(Member));
  return &(static_cast<Part*>(part)->*Member);
}

template <auto Member>
Field Property(std::string_view key, Axis axis = {}) {
  return {.key = key, .slot = &MemberSlot<Member>, .axis = axis};
}

// A curve; `example` is one of its points.
template <auto Member>
Field Points(std::string_view key, Axis axis, Axis second, std::string_view example) {
  return {
      .key = key, .slot = &MemberSlot<Member>, .axis = axis, .second = second, .example = example};
}

template <auto Member>
Field Text(std::string_view key, std::string_view example, Words words = nullptr) {
  return {.key = key, .slot = &MemberSlot<Member>, .words = words, .example = example};
}

Field Required(Field field) {
  field.required = true;
  return field;
}

Field With(std::string_view other_key, Field field) {
  field.goes_with = other_key;
  return field;
}

template <auto Member>
Field Name(std::string_view example) {
  Field field = Required(Text<Member>("name", example));
  field.settable = false;
  return field;
}

// The properties of a part, and its place on diagrams.
template <typename Part>
std::vector<Field> WithPlace(std::vector<Field> fields) {
  fields.push_back(Property<&Part::x>("x", Millimetres()));
  fields.push_back(Property<&Part::y>("y", Millimetres()));
  return fields;
}

// --- The sections --------------------------------------------------------------------------------

std::vector<Field> HeadingFields() {
  return {
      Text<&Network::title>("title", "Caustic transfer"),
      {.key = "story",
       .slot = &MemberSlot<&Network::story>,
       .example = "What the plant does.",
       .is_prose = true},
  };
}

std::vector<Field> SiteFields() {
  return {
      Property<&Site::gravity>("gravity", {Dimension::kAcceleration, "m/s2", kPositive}),
      Property<&Site::atmospheric_pressure>("atmospheric_pressure", KiloPascal(kNotNegative)),
  };
}

std::vector<Field> ModelFields() {
  return {
      Text<&ModelChoices::friction>("friction", "colebrook", &Known<FrictionFormulaNames>),
      Required(Text<&ModelChoices::fittings>("fittings", "three-K", &Known<FittingMethodNames>)),
  };
}

std::vector<Field> FluidFields() {
  return {
      Required(Text<&Fluid::name>("name", "water")),
      Property<&Fluid::temperature>("temperature", Celsius(kPositive)),
      Property<&Fluid::strength>("strength", Number(kFraction)),
      Property<&Fluid::density>("density", Density(kPositive)),
      Property<&Fluid::viscosity>("viscosity", DynamicViscosity(kPositive)),
      Property<&Fluid::kinematic_viscosity>("kinematic_viscosity",
                                            {Dimension::kKinematicViscosity, "mm2/s", kPositive}),
      Property<&Fluid::vapour_pressure>("vapour_pressure", KiloPascal(kNotNegative)),
      Property<&Fluid::critical_pressure>("critical_pressure", Bar(kPositive)),
      Property<&Fluid::bulk_modulus>("bulk_modulus", GigaPascal(kPositive)),
      Points<&Fluid::density_table>("density_table", Celsius(kPositive), Density(kPositive),
                                    R"(["20 degC", "1220 kg/m3"])"),
      Points<&Fluid::viscosity_table>("viscosity_table", Celsius(kPositive),
                                      DynamicViscosity(kPositive), R"(["20 degC", "4.5 mPa.s"])"),
      Points<&Fluid::vapour_pressure_table>("vapour_pressure_table", Celsius(kPositive),
                                            KiloPascal(kPositive), R"(["20 degC", "2.3 kPa"])"),
      Property<&Fluid::yield_stress>("yield_stress", Pascal(kNotNegative)),
      Property<&Fluid::consistency>("consistency", Number(kPositive)),
      With("consistency", Property<&Fluid::index>("index", Number({kMinFlowIndex, kMaxFlowIndex}))),
      Property<&Fluid::solids>("solids", Number(kFractionBelowOne)),
      With("solids", Property<&Fluid::solids_density>("solids_density", Density(kPositive))),
      With("solids", Property<&Fluid::d50>("d50", Millimetres(kPositive))),
  };
}

// --- The parts -----------------------------------------------------------------------------------

std::vector<Field> VesselFields() {
  return WithPlace<Vessel>({
      Name<&Vessel::name>("day tank"),
      Property<&Vessel::elevation>("elevation", Metres()),
      Property<&Vessel::level>("level", Metres(kNotNegative)),
      Property<&Vessel::gas_pressure>("gas_pressure", Bar()),
      Property<&Vessel::area>("area", SquareMetres(kPositive)),
      Property<&Vessel::height>("height", Metres(kPositive)),
  });
}

std::vector<Field> JunctionFields() {
  return WithPlace<Junction>({
      Name<&Junction::name>("mixer"),
      Property<&Junction::elevation>("elevation", Metres()),
      Property<&Junction::draw>("draw", CubicMetresPerHour(kNotNegative)),
      Property<&Junction::feed>("feed", CubicMetresPerHour(kNotNegative)),
  });
}

std::vector<Field> PipeFields() {
  return WithPlace<Pipe>({
      Name<&Pipe::name>("L-4"),
      Required(Text<&Pipe::from>("from", "n1")),
      Required(Text<&Pipe::to>("to", "mixer")),
      Required(Property<&Pipe::length>("length", Metres(kPositive))),
      Property<&Pipe::bore>("bore", Millimetres(kBoreRange)),
      Text<&Pipe::size>("size", "DN80"),
      With("size", Text<&Pipe::schedule>("schedule", "40")),
      Property<&Pipe::lining>("lining", Millimetres(kNotNegative)),
      Property<&Pipe::roughness>("roughness", Millimetres(kNotNegative)),
      Text<&Pipe::material>("material", "commercial steel", &Known<MaterialNames>),
      {.key = "fittings",
       .slot = &MemberSlot<&Pipe::fittings>,
       .axis = Number(kNotNegative),
       .words = &Known<FittingNames>},
      Property<&Pipe::k>("k", Number(kNotNegative)),
      Property<&Pipe::friction_factor>("friction_factor", Number(kPositive)),
      Property<&Pipe::hazen_williams_c>("hazen_williams_c", Number(kPositive)),
      Property<&Pipe::high_point>("high_point", Metres()),
      Property<&Pipe::rating>("rating", Bar(kPositive)),
      Property<&Pipe::max_velocity>("max_velocity", MetresPerSecond(kPositive)),
      Property<&Pipe::wave_speed>("wave_speed", MetresPerSecond(kPositive)),
      Property<&Pipe::wall>("wall", Millimetres(kPositive)),
      Property<&Pipe::elastic_modulus>("elastic_modulus", GigaPascal(kPositive)),
      Text<&Pipe::restraint>("restraint", "anchored", &Known<RestraintNames>),
  });
}

std::vector<Field> ValveFields() {
  return WithPlace<Valve>({
      Name<&Valve::name>("HV-3"),
      Required(Text<&Valve::from>("from", "n1")),
      Required(Text<&Valve::to>("to", "n2")),
      Required(Text<&Valve::kind>("kind", "diaphragm weir", &Known<ValveKindNames>)),
      Property<&Valve::bore>("bore", Millimetres(kBoreRange)),
      Text<&Valve::size>("size", "DN80"),
      Property<&Valve::lining>("lining", Millimetres(kNotNegative)),
      Property<&Valve::opening>("opening", Number(kFraction)),
      Property<&Valve::kv>("kv", CubicMetresPerHour(kPositive)),
      Property<&Valve::cv>("cv", Gpm(kPositive)),
      Property<&Valve::k>("k", Number(kPositive)),
      Points<&Valve::curve>("curve", Number(kFraction), Number(kFraction), "[0.5, 0.7]"),
      Property<&Valve::pipe_bore>("pipe_bore", Millimetres(kBoreRange)),
      Property<&Valve::fl>("fl", Number(kPositiveFraction)),
      Property<&Valve::xfz>("xfz", Number(kPositiveFraction)),
      Property<&Valve::turns>("turns", Number(kPositive)),
      Property<&Valve::travel>("travel", Millimetres(kPositive)),
      Property<&Valve::rangeability>("rangeability", Number(kAboveOne)),
      Text<&Valve::normally>("normally", "open", &Known<NormalPositionNames>),
      Required(Text<&Valve::condition>("condition", "sound", &Known<ValveConditionNames>)),
      Property<&Valve::blockage>("blockage", Number(kFractionBelowOne)),
      Text<&Valve::leakage>("leakage", "ISO 5208 D", &Known<LeakageRateNames>),
      Property<&Valve::leak_kv>("leak_kv", CubicMetresPerHour(kPositive)),
      Property<&Valve::vent_kv>("vent_kv", CubicMetresPerHour(kPositive)),
      Property<&Valve::stuck_opening>("stuck_opening", Number(kFraction)),
      Property<&Valve::min_pressure>("min_pressure", Bar()),
      Property<&Valve::rating>("rating", Bar(kPositive)),
  });
}

std::vector<Field> CheckValveFields() {
  return WithPlace<CheckValve>({
      Name<&CheckValve::name>("NRV-1"),
      Required(Text<&CheckValve::from>("from", "P-1 out")),
      Required(Text<&CheckValve::to>("to", "n1")),
      Required(Text<&CheckValve::kind>("kind", "swing", &Known<CheckValveKindNames>)),
      Property<&CheckValve::bore>("bore", Millimetres(kBoreRange)),
      Text<&CheckValve::size>("size", "DN80"),
      Text<&CheckValve::orientation>("orientation", "vertical up", &Known<OrientationNames>),
      Required(Text<&CheckValve::assist>("assist", "spring", &Known<ClosingAidNames>)),
      Required(
          Text<&CheckValve::condition>("condition", "sound", &Known<CheckValveConditionNames>)),
      Property<&CheckValve::kv>("kv", CubicMetresPerHour(kPositive)),
      Property<&CheckValve::cv>("cv", Gpm(kPositive)),
      Property<&CheckValve::k>("k", Number(kPositive)),
      Property<&CheckValve::cracking_pressure>("cracking_pressure", Bar(kNotNegative)),
      Property<&CheckValve::min_velocity>("min_velocity", MetresPerSecond(kPositive)),
      Text<&CheckValve::leakage>("leakage", "API 598 metal check", &Known<LeakageRateNames>),
      Property<&CheckValve::leak_kv>("leak_kv", CubicMetresPerHour(kPositive)),
      Property<&CheckValve::stuck_opening>("stuck_opening", Number(kPositiveFraction)),
      Property<&CheckValve::closing_lag>("closing_lag", Seconds(kNotNegative)),
      Property<&CheckValve::rating>("rating", Bar(kPositive)),
  });
}

std::vector<Field> PumpFields() {
  return WithPlace<Pump>({
      Name<&Pump::name>("P-1"),
      Required(Text<&Pump::from>("from", "P-1 in")),
      Required(Text<&Pump::to>("to", "P-1 out")),
      Required(Text<&Pump::kind>("kind", "centrifugal", &Known<PumpKindNames>)),
      Points<&Pump::curve>("curve", CubicMetresPerHour(kNotNegative), Metres(),
                           R"(["20 m3/h", "28 m"])"),
      Property<&Pump::coefficients>("coefficients", Metres()),
      Property<&Pump::running>("running"),
      Property<&Pump::speed>("speed", Number(kNotNegative)),
      Property<&Pump::rpm>("rpm", Number(kPositive)),
      Property<&Pump::stages>("stages", Number(kAtLeastOne)),
      Property<&Pump::rated_flow>("rated_flow", CubicMetresPerHour(kPositive)),
      Points<&Pump::efficiency>("efficiency", CubicMetresPerHour(kNotNegative), Number(kFraction),
                                R"(["20 m3/h", 0.65])"),
      Points<&Pump::npsh>("npsh", CubicMetresPerHour(kNotNegative), Metres(kNotNegative),
                          R"(["20 m3/h", "2.5 m"])"),
      Property<&Pump::min_flow>("min_flow", CubicMetresPerHour(kPositive)),
      Property<&Pump::rated_power>("rated_power", KiloWatt(kPositive)),
      Required(Text<&Pump::rotor>("rotor", "held", &Known<RotorNames>)),
      Property<&Pump::stopped_k>("stopped_k", Number(kPositive)),
      Property<&Pump::displacement>("displacement", CubicMetresPerHour(kPositive)),
      With("displacement", Property<&Pump::slip>("slip", CubicMetresPerHour(kPositive))),
      Property<&Pump::rated_pressure>("rated_pressure", Bar(kPositive)),
      Property<&Pump::inertia>("inertia", Number(kPositive)),
  });
}

std::vector<Field> RestrictionFields() {
  return WithPlace<Restriction>({
      Name<&Restriction::name>("RO-1"),
      Required(Text<&Restriction::from>("from", "n1")),
      Required(Text<&Restriction::to>("to", "n2")),
      Property<&Restriction::k>("k", Number(kPositive)),
      Property<&Restriction::bore>("bore", Millimetres(kBoreRange)),
      Text<&Restriction::size>("size", "DN80"),
      Property<&Restriction::kv>("kv", CubicMetresPerHour(kPositive)),
      Property<&Restriction::cv>("cv", Gpm(kPositive)),
      Property<&Restriction::rated_drop>("rated_drop", Bar(kPositive)),
      With("rated_drop",
           Property<&Restriction::rated_flow>("rated_flow", CubicMetresPerHour(kPositive))),
      Property<&Restriction::rating>("rating", Bar(kPositive)),
  });
}

std::vector<Field> NozzleFields() {
  return WithPlace<Nozzle>({
      Name<&Nozzle::name>("N-1"),
      Required(Text<&Nozzle::from>("from", "n1")),
      Property<&Nozzle::bore>("bore", Millimetres(kBoreRange)),
      Text<&Nozzle::size>("size", "DN25"),
      Property<&Nozzle::k>("k", Number(kPositive)),
      Property<&Nozzle::elevation>("elevation", Metres()),
  });
}

std::vector<Field> RegulatorFields() {
  return WithPlace<Regulator>({
      Name<&Regulator::name>("PRV-1"),
      Required(Text<&Regulator::from>("from", "n1")),
      Required(Text<&Regulator::to>("to", "n2")),
      Required(Text<&Regulator::kind>("kind", "pressure-reducing", &Known<RegulatorKindNames>)),
      Property<&Regulator::bore>("bore", Millimetres(kBoreRange)),
      Text<&Regulator::size>("size", "DN50"),
      Property<&Regulator::kv>("kv", CubicMetresPerHour(kPositive)),
      Property<&Regulator::cv>("cv", Gpm(kPositive)),
      Property<&Regulator::k>("k", Number(kPositive)),
      Property<&Regulator::set_pressure>("set_pressure", Bar()),
      Property<&Regulator::set_flow>("set_flow", CubicMetresPerHour(kPositive)),
      Property<&Regulator::droop>("droop", Bar(kNotNegative)),
      Property<&Regulator::rated_flow>("rated_flow", CubicMetresPerHour(kPositive)),
      Property<&Regulator::rating>("rating", Bar(kPositive)),
  });
}

std::vector<Field> ReliefValveFields() {
  return WithPlace<ReliefValve>({
      Name<&ReliefValve::name>("PSV-1"),
      Required(Text<&ReliefValve::from>("from", "n1")),
      Text<&ReliefValve::to>("to", "n2"),
      Required(Property<&ReliefValve::set_pressure>("set_pressure", Bar(kPositive))),
      Property<&ReliefValve::overpressure>("overpressure", Number(kPositiveFraction)),
      Property<&ReliefValve::balanced>("balanced"),
      Property<&ReliefValve::kv>("kv", CubicMetresPerHour(kReliefRange)),
      Property<&ReliefValve::cv>("cv", Gpm(kReliefRange)),
      Property<&ReliefValve::area>("area", SquareMillimetres(kReliefRange)),
  });
}

// --- Where the parts are kept --------------------------------------------------------------------

struct KindText {
  std::string_view name;
  std::string_view spoken;
};

template <typename Part>
void AssignPart(void* part, const void* source) {
  *static_cast<Part*>(part) = *static_cast<const Part*>(source);
}

template <typename Part>
const void* BlankPart() {
  static const Part blank;
  return &blank;
}

template <auto Parts>
PartKind ListKind(KindText text, Role role, std::vector<Field> fields, std::vector<Choice> choices,
                  Rule rule) {
  using Part =
      typename std::remove_reference_t<decltype(std::declval<Network>().*Parts)>::value_type;
  return {.name = text.name,
          .spoken = text.spoken,
          .role = role,
          .fields = std::move(fields),
          .choices = std::move(choices),
          .rule = rule,
          .count = [](const Network& network) { return (network.*Parts).size(); },
          .at = [](Network& network, std::size_t i) -> void* { return &(network.*Parts)[i]; },
          .append =
              [](Network& network, const void* source) {
                const void* from = source == nullptr ? BlankPart<Part>() : source;
                (network.*Parts).push_back(*static_cast<const Part*>(from));
              },
          .remove_last = [](Network& network) { (network.*Parts).pop_back(); },
          .assign = &AssignPart<Part>,
          .blank = BlankPart<Part>()};
}

template <auto Member>
PartKind SectionKind(std::string_view name, std::vector<Field> fields, std::vector<Choice> choices,
                     Rule rule) {
  using Part = std::remove_reference_t<decltype(std::declval<Network>().*Member)>;
  return {.name = name,
          .spoken = name,
          .role = Role::kSection,
          .fields = std::move(fields),
          .choices = std::move(choices),
          .rule = rule,
          .count = [](const Network&) { return std::size_t{1}; },
          .at = [](Network& network, std::size_t) -> void* { return &(network.*Member); },
          .append = nullptr,
          .remove_last = nullptr,
          .assign = &AssignPart<Part>,
          .blank = BlankPart<Part>()};
}

PartKind MakeHeadingSection() {
  return {.name = "",
          .spoken = "network",
          .role = Role::kSection,
          .fields = HeadingFields(),
          .choices = {},
          .rule = nullptr,
          .count = [](const Network&) { return std::size_t{1}; },
          .at = [](Network& network, std::size_t) -> void* { return &network; },
          .append = nullptr,
          .remove_last = nullptr,
          .assign = nullptr,
          .blank = BlankPart<Network>()};
}

// --- The table -----------------------------------------------------------------------------------

std::vector<PartKind> MakePartKindTable() {
  const Choice bore{{"bore", "size"}, true};
  const Choice coefficient{{"kv", "cv", "k"}};
  const Choice leak{{"leakage", "leak_kv"}};
  return {
      SectionKind<&Network::site>("site", SiteFields(), {}, nullptr),
      SectionKind<&Network::model>("model", ModelFields(), {}, nullptr),
      SectionKind<&Network::fluid>(
          "fluid", FluidFields(),
          {{{"density", "density_table"}},
           {{"viscosity", "kinematic_viscosity", "viscosity_table", "consistency"}},
           {{"vapour_pressure", "vapour_pressure_table"}}},
          &FluidRule),

      ListKind<&Network::vessels>({"vessel", "vessel"}, Role::kPoint, VesselFields(), {},
                                  &VesselRule),
      ListKind<&Network::junctions>({"junction", "junction"}, Role::kPoint, JunctionFields(), {},
                                    nullptr),

      ListKind<&Network::pipes>(
          {"pipe", "pipe"}, Role::kComponent, PipeFields(),
          {bore, {{"roughness", "material"}}, {{"friction_factor", "hazen_williams_c"}}},
          &PipeRule),
      ListKind<&Network::valves>({"valve", "valve"}, Role::kComponent, ValveFields(),
                                 {bore, coefficient, leak}, &ValveRule),
      ListKind<&Network::check_valves>({"check_valve", "check valve"}, Role::kComponent,
                                       CheckValveFields(), {bore, coefficient, leak},
                                       &CheckValveRule),
      ListKind<&Network::pumps>({"pump", "pump"}, Role::kComponent, PumpFields(),
                                {{{"curve", "coefficients"}}}, &PumpRule),
      ListKind<&Network::restrictions>(
          {"restriction", "restriction"}, Role::kComponent, RestrictionFields(),
          {{{"k", "kv", "cv", "rated_drop"}, true}, {{"bore", "size"}}}, &RestrictionRule),
      ListKind<&Network::nozzles>({"nozzle", "nozzle"}, Role::kComponent, NozzleFields(), {bore},
                                  &NozzleRule),
      ListKind<&Network::regulators>({"regulator", "regulator"}, Role::kComponent,
                                     RegulatorFields(), {bore, coefficient}, &RegulatorRule),
      ListKind<&Network::relief_valves>({"relief_valve", "relief valve"}, Role::kComponent,
                                        ReliefValveFields(), {{{"kv", "cv", "area"}, true}},
                                        nullptr),
  };
}

const PartKind* FindKind(std::string_view name, bool section) {
  for (const PartKind& kind : PartKindTable()) {
    if (kind.name == name && (kind.role == Role::kSection) == section) return &kind;
  }
  return nullptr;
}

}  // namespace

const std::vector<PartKind>& PartKindTable() {
  static const std::vector<PartKind> table = MakePartKindTable();
  return table;
}

const PartKind* FindPartKind(std::string_view name) {
  return FindKind(name, false);
}
const PartKind* FindSection(std::string_view name) {
  return FindKind(name, true);
}

const PartKind& HeadingSection() {
  static const PartKind heading = MakeHeadingSection();
  return heading;
}

const Field* FindField(const PartKind& kind, std::string_view key) {
  for (const Field& field : kind.fields) {
    if (field.key == key) return &field;
  }
  return nullptr;
}

std::string_view NameOf(const PartKind& kind, const void* part) {
  if (kind.role == Role::kSection) return {};
  return *std::get<std::string*>(SlotOf(kind.fields.front(), part));
}

std::string LabelOf(const PartKind& kind, const void* part, std::size_t index) {
  if (kind.role == Role::kSection) return std::string(kind.spoken);
  const std::string_view name = NameOf(kind, part);
  return name.empty() ? Cat(kind.spoken, " number ", std::to_string(index + 1))
                      : Cat(kind.spoken, " ", Quoted(name));
}

Slot SlotOf(const Field& field, const void* part) {
  return field.slot(const_cast<void*>(part));  // NOLINT: callers with a const part only read
}

}  // namespace handwheel
