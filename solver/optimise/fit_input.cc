#include "optimise/fit_input.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "handwheel/errors.h"
#include "network/draft.h"
#include "network/resolve.h"
#include "text/cat.h"
#include "text/number.h"
#include "text/suggest.h"

namespace handwheel::optimise {
namespace {

// --- Numbers with a unit -------------------------------------------------------------------------

bool IsBareNumber(std::string_view text) {
  double number = 0.0;
  while (!text.empty() && text.front() == ' ') text.remove_prefix(1);
  if (ReadDecimal(&text, &number) != DecimalResult::kOk) return false;
  return text.find_first_not_of(' ') == std::string_view::npos;
}

// A gauge is never read in m³/s: a text without a unit is a mistake.
double QuantityOf(const Value& value, const Gauge& gauge, const char* what, const char* example) {
  const std::string about = Cat(what, " of ", Quoted(gauge.name));
  if (const double* number = std::get_if<double>(&value)) {
    if (std::isfinite(*number)) return *number;
    throw SettingError(Cat(about, " is ", FormatDecimal(*number), "; expected a number."));
  }
  const std::string* text = std::get_if<std::string>(&value);
  if (text == nullptr || text->empty()) {
    throw SettingError(Cat(about, " is missing; expected a value such as ", Quoted(example), "."));
  }
  if (IsBareNumber(*text)) {
    throw SettingError(
        Cat(about, ": ", Quoted(*text), " has no unit; write it as in ", Quoted(example), "."));
  }
  try {
    return ParseQuantity(*text, gauge.dimension());
  } catch (const UnitError& error) {
    throw SettingError(Cat(about, ": ", error.what()));
  }
}

// --- Readings ------------------------------------------------------------------------------------

const char* ExampleOf(const Gauge& gauge) {
  switch (gauge.shows) {
    case Gauge::Shows::kFlow:
      return "14.2 m3/h";
    case Gauge::Shows::kVelocity:
      return "1.8 m/s";
    case Gauge::Shows::kPressure:
      return "2.4 bar";
    default:
      return "6.5 m";
  }
}

bool IsGiven(const Value& value) {
  const std::string* text = std::get_if<std::string>(&value);
  return text == nullptr || text->find_first_not_of(' ') != std::string::npos;
}

double UncertaintyOf(const Value& value, const Gauge& gauge, double measured) {
  const std::string* text = std::get_if<std::string>(&value);
  double uncertainty = 0.0;
  if (text != nullptr && text->find('%') != std::string::npos) {
    try {
      uncertainty = ParseQuantity(*text, Dimension::kNumber) * std::abs(measured);
    } catch (const UnitError& error) {
      throw SettingError(Cat("uncertainty of ", Quoted(gauge.name), ": ", error.what()));
    }
    if (measured == 0.0) {
      throw SettingError(Cat("uncertainty of ", Quoted(gauge.name), ": ", *text,
                             " of a reading of 0 is nothing; give it in a unit."));
    }
  } else {
    uncertainty = QuantityOf(value, gauge, "uncertainty", "2 %");
  }
  if (uncertainty > 0.0 && std::isfinite(uncertainty)) return uncertainty;
  throw SettingError(Cat("uncertainty of ", Quoted(gauge.name), " is ",
                         GaugeText(gauge, uncertainty), "; expected a value above 0."));
}

// Of readings that state none (left at 0).
void AssumeUncertainties(double share, std::vector<Reading>* readings) {
  for (Reading& reading : *readings) {
    if (reading.uncertainty > 0.0) continue;
    double largest = 0.0;
    for (const Reading& other : *readings) {
      if (other.gauge.shows == reading.gauge.shows) {
        largest = std::max(largest, std::abs(other.measured));
      }
    }
    if (!(largest > 0.0)) {
      throw SettingError(Cat("uncertainty of ", Quoted(reading.gauge.name),
                             " is missing, and all such readings are 0; state it, as in ",
                             Quoted(ExampleOf(reading.gauge)), "."));
    }
    reading.uncertainty = share * largest;
  }
}

// --- States --------------------------------------------------------------------------------------

std::string LabelOf(const State& state) {
  std::string label = state.case_name;
  for (const auto& [target, value] : state.settings) {
    std::string shown = "...";
    if (const double* number = std::get_if<double>(&value)) shown = FormatDecimal(*number, 6);
    if (const bool* on = std::get_if<bool>(&value)) shown = *on ? "true" : "false";
    if (const std::string* text = std::get_if<std::string>(&value)) shown = *text;
    label += Cat(label.empty() ? "" : ", ", target, " = ", shown);
  }
  return label.empty() ? "as it stands" : label;
}

// What a state may not set, as it is varied.
void RefuseWhatIsVaried(const FitInput& input, const State& state, const Settings& settings) {
  const auto refuse = [&](const std::string& target) {
    throw SettingError(Cat(Quoted(target), " is varied, and set by the state ", Quoted(state.label),
                           " that readings belong to; leave out one of them."));
  };
  for (const auto& [target, value] : settings) {
    for (const Varied& varied : input.varied) {
      if (varied.target == target) refuse(target);
    }
    const Target parts = SplitTarget(target);
    const auto& blocked = input.blocked;
    const bool frees = std::find(blocked.begin(), blocked.end(), parts.component) != blocked.end();
    if (parts.property == "condition" && frees) refuse(target);
  }
}

std::size_t StateOf(const Measurement& measurement, const Network& base, FitInput* input) {
  for (std::size_t s = 0; s < input->states.size(); ++s) {
    const State& known = input->states[s];
    if (known.case_name == measurement.case_name && known.settings == measurement.settings) {
      return s;
    }
  }
  State state{measurement.case_name, measurement.settings, "", base};
  state.label = LabelOf(state);
  if (!state.case_name.empty()) {
    const Settings set = base.FindCase(state.case_name).set;
    RefuseWhatIsVaried(*input, state, set);
    state.network.Apply(set);
  }
  RefuseWhatIsVaried(*input, state, state.settings);
  state.network.Apply(state.settings);
  state.network.Validate();
  input->states.push_back(std::move(state));
  return input->states.size() - 1;
}

// --- Numbers -------------------------------------------------------------------------------------

// A valve to be found blocked must be one that can be; of a sound one the blockage starts at none.
void PrepareBlockage(const std::string& target, Network* base, FitInput* input) {
  const PartPlace part = FindTargetPart(*base, target);
  const Target parts = SplitTarget(target);
  if (parts.property != "blockage" || part.kind->name != "valve") return;
  const std::string valve(parts.component);
  const std::string condition = base->valves[part.index].condition;
  if (condition == "blocked" || condition == "sleeve collapsed") return;
  if (condition != "sound") {
    throw SettingError(Cat(Quoted(target), ": ", valve, " is ", Quoted(condition),
                           ", and a blockage has a meaning only where a valve is \"sound\" (it is "
                           "then taken for \"blocked\"), \"blocked\" or \"sleeve collapsed\"."));
  }
  base->Apply(Cat(valve, ".condition"), "blocked");
  base->Apply(target, 0.0);
  input->blocked.push_back(valve);
}

// What spans decades and is never 0: its errors are factors.
bool SpansDecades(std::string_view property) {
  constexpr std::array<std::string_view, 5> kProperties = {"roughness", "kv", "cv", "leak_kv",
                                                           "vent_kv"};
  return std::find(kProperties.begin(), kProperties.end(), property) != kProperties.end();
}

// A wall smoother than 0.1 micrometres is smooth; friction formulas reach to a relative roughness
// of 0.05 (the range of the Moody chart).
constexpr double kSmoothest = 1e-7;  // [m]
constexpr double kRoughest = 0.05;   // of the bore
constexpr double kMostFactor = 1e3;  // a coefficient this far from what it is explains nothing

void BoundLogarithm(const Network& network, const Varied& varied, const FitUnknown& asked,
                    Number* number) {
  const Target parts = SplitTarget(varied.target);
  double low = varied.present / kMostFactor, high = varied.present * kMostFactor;
  if (parts.property == "roughness") {
    low = kSmoothest;
    for (const Pipe& pipe : network.pipes) {
      if (pipe.name == parts.component) high = kRoughest * BoreOf(pipe);
    }
  }
  if (!IsGiven(asked.lower) || !(number->lower > 0.0)) number->lower = std::max(number->lower, low);
  if (!IsGiven(asked.upper)) number->upper = std::min(number->upper, high);
}

Number MakeNumber(const FitInput& input, const Network& base, const FitUnknown& asked,
                  std::size_t first) {
  Number number;
  number.lower = -std::numeric_limits<double>::infinity();
  number.upper = std::numeric_limits<double>::infinity();
  const std::size_t count = asked.targets.size();
  number.logarithmic = true;
  for (std::size_t v = first; v < first + count; ++v) {
    const Varied& varied = input.varied[v];
    number.varied.push_back(v);
    number.before += varied.present / static_cast<double>(count);
    number.lower = std::max(number.lower, varied.lower);
    number.upper = std::min(number.upper, varied.upper);
    number.logarithmic = number.logarithmic && SpansDecades(SplitTarget(varied.target).property);
    if (varied.dimension != input.varied[first].dimension) {
      throw SettingError(Cat(Quoted(varied.target), " and ", Quoted(input.varied[first].target),
                             " cannot be one number: they measure different things."));
    }
  }
  if (number.logarithmic) {
    for (std::size_t v : number.varied) BoundLogarithm(base, input.varied[v], asked, &number);
  }
  if (!(number.lower < number.upper)) {
    throw SettingError(Cat(Quoted(input.NameOf(number)), " has no room between ",
                           VariedText(input.varied[first], number.lower), " and ",
                           VariedText(input.varied[first], number.upper), "."));
  }
  number.scale = input.varied[first].size;
  return number;
}

void ReadNumbers(const Network& network, const std::vector<FitUnknown>& vary, Network* base,
                 FitInput* input) {
  std::vector<Vary> flat;
  for (const FitUnknown& one : vary) {
    if (one.targets.empty()) throw SettingError("a number to vary has no target.");
    for (const std::string& target : one.targets) {
      PrepareBlockage(target, base, input);
      flat.push_back({target, one.lower, one.upper});
    }
  }
  input->original = network;
  input->varied = ReadVaried(*base, flat);
  std::size_t first = 0;
  for (const FitUnknown& one : vary) {
    input->numbers.push_back(MakeNumber(*input, *base, one, first));
    first += one.targets.size();
  }
}

}  // namespace

double Number::ToU(double value) const {
  return logarithmic ? std::log(value) : value / scale;
}
double Number::FromU(double u) const {
  return logarithmic ? std::exp(u) : u * scale;
}
double Number::Slope(double u) const {
  return logarithmic ? std::exp(u) : scale;
}

double Number::Room() const {
  return logarithmic ? std::log(10.0) : 1.0;  // a decade
}

std::string FitInput::NameOf(const Number& number) const {
  std::string name;
  for (std::size_t v : number.varied) name += Cat(name.empty() ? "" : ", ", varied[v].target);
  return name;
}

FitInput FitInput::Without(const std::string& gauge) const {
  FitInput fewer = *this;
  std::erase_if(fewer.readings,
                [&](const Reading& reading) { return reading.gauge.name == gauge; });
  return fewer;
}

FitInput ReadFitInput(const Network& network, const std::vector<Measurement>& measurements,
                      const std::vector<FitUnknown>& vary, const FitOptions& options) {
  if (measurements.empty()) {
    throw SettingError("no measurements; expected at least one, such as \"L-4.flow\" 14.2 m3/h.");
  }
  network.Validate();
  FitInput input;
  Network base = network;
  ReadNumbers(network, vary, &base, &input);
  for (const Measurement& one : measurements) {
    Reading reading{FindGauge(network, one.gauge), StateOf(one, base, &input), 0.0, 0.0};
    reading.measured = QuantityOf(one.value, reading.gauge, "reading", ExampleOf(reading.gauge));
    if (IsGiven(one.uncertainty)) {
      reading.uncertainty = UncertaintyOf(one.uncertainty, reading.gauge, reading.measured);
      input.uncertainties_stated = true;
    }
    input.readings.push_back(std::move(reading));
  }
  AssumeUncertainties(options.default_uncertainty, &input.readings);
  return input;
}

}  // namespace handwheel::optimise

namespace handwheel {
namespace {

std::string_view Trimmed(std::string_view text) {
  while (!text.empty() && text.front() == ' ') text.remove_prefix(1);
  while (!text.empty() && text.back() == ' ') text.remove_suffix(1);
  return text;
}

Value ValueFromText(std::string_view text) {
  if (text == "true") return true;
  if (text == "false") return false;
  std::string_view rest = text;
  double number = 0.0;
  if (ReadDecimal(&rest, &number) == DecimalResult::kOk && rest.empty()) return number;
  return std::string(text);
}

}  // namespace

Settings SettingsFromText(std::string_view text) {
  Settings settings;
  while (!Trimmed(text).empty()) {
    const std::string_view one = text.substr(0, text.find(';'));
    text.remove_prefix(std::min(text.size(), one.size() + 1));
    if (Trimmed(one).empty()) continue;
    const auto equals = one.find('=');
    if (equals == std::string_view::npos) {
      throw SettingError(Cat("settings ", Quoted(one),
                             ": expected such as \"HV-3.opening=0.4; P-1.running=false\"."));
    }
    settings.emplace_back(std::string(Trimmed(one.substr(0, equals))),
                          ValueFromText(Trimmed(one.substr(equals + 1))));
  }
  return settings;
}

}  // namespace handwheel
