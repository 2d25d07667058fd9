#include <algorithm>
#include <cmath>
#include <cstdio>
#include <memory>

#include "commands.h"
#include "correlations/check_valve_kind.h"
#include "correlations/flow_coefficient.h"
#include "correlations/valve_characteristic.h"
#include "handwheel/errors.h"
#include "handwheel/steady.h"
#include "output.h"
#include "text/cat.h"
#include "text/layout.h"
#include "text/number.h"
#include "text/suggest.h"

namespace handwheel::shell {
namespace {

constexpr std::size_t kPageWidth = 96;
constexpr std::size_t kWhatWidth = 26;
constexpr std::size_t kValueWidth = 9;
constexpr std::size_t kTrustWidth = 17;
constexpr double kValveShare = 0.1;  // of the drop of a line, that a valve fully open takes
constexpr double kMetresPerMm = 1e-3;
constexpr double kSizes[] = {25, 50, 80, 100, 150};  // DN [mm]

std::string Short(double value) {
  return FormatDecimal(value, value < 1000.0 ? 3 : 4);
}

std::string Percent(double share) {
  char text[16];
  std::snprintf(text, sizeof text, "%.0f %%", 100.0 * share);
  return text;
}

std::string Paragraph(std::string_view words) {
  return Hanging(words, kPageWidth, "  ");
}

// A table of data, each with how far to trust it and its source.
class DataTable {
 public:
  void Row(const std::string& what, const std::string& value, const Source& source) {
    const std::string start = "  " + LeftAligned(what, kWhatWidth) +
                              LeftAligned(value, kValueWidth) +
                              LeftAligned(TrustWord(source.trust), kTrustWidth);
    text_ += Hanging(source.text, kPageWidth, start);
  }
  void Row(const std::string& what, const Cited& datum) {
    Row(what, Short(datum.value), datum.source);
  }
  void Row(const std::string& what, const CitedFitness& fitness) {
    Row(what, fitness.suits ? "yes" : "no", fitness.source);
  }
  const std::string& text() const { return text_; }

 private:
  std::string text_;
};

std::string Opening(std::string_view name, const char* what, std::string_view what_it_is,
                    std::string_view when_not_to_use) {
  return std::string(name) + ": " + what + "\n" + Paragraph(what_it_is) + "\nwhen not to use it\n" +
         Paragraph(when_not_to_use);
}

// --- Valves -------------------------------------------------------------------------------------

std::string DefaultsOf(const ValveKind& kind) {
  DataTable table;
  table.Row("K fully open", Cited{kind.full_open_k, kind.full_open_k_source});
  table.Row("FL fully open", kind.recovery_fully_open);
  table.Row("FL nearly shut", kind.recovery_nearly_shut);
  table.Row("Fd", kind.style_modifier);
  table.Row("travel / DN", kind.travel_over_bore);
  const Cited& turns = kind.turns_of_any_size;
  table.Row("turns", turns.value > 0.0 ? Short(turns.value) : "by size", turns.source);
  table.Row("turndown", kind.turndown);
  table.Row("least opening to use", Percent(kind.least_throttle.value), kind.least_throttle.source);
  return table.text();
}

std::string FitnessOf(const ValveKind& kind) {
  DataTable table;
  table.Row("throttling", kind.throttling);
  table.Row("solids", kind.solids);
  table.Row("settling slurry", kind.slurry);
  table.Row("vacuum", kind.vacuum);
  return table.text();
}

// Of a line whose other losses go with the square of the flow, over that with the valve open.
double FlowInLine(double relative_coefficient) {
  if (relative_coefficient <= 0.0) return 0.0;
  const double valve = kValveShare / (relative_coefficient * relative_coefficient);
  return 1.0 / std::sqrt(1.0 - kValveShare + valve);
}

std::string CharacteristicOf(const ValveKind& kind) {
  constexpr double kBarWidth = 50.0;
  const MonotoneCubic curve = RelativeCoefficient(kind);
  std::string text = "  open    coefficient   flow in the line\n";
  for (int tenths = 0; tenths <= 10; ++tenths) {
    const double coefficient = curve.Value(0.1 * tenths);
    const auto bar = static_cast<std::size_t>(std::lround(kBarWidth * coefficient));
    text += RightAligned(Percent(0.1 * tenths), 7) + RightAligned(Percent(coefficient), 14) +
            RightAligned(Percent(FlowInLine(coefficient)), 19);
    if (bar > 0) text += "   " + std::string(bar, '#');
    text += "\n";
  }
  text += Paragraph("(bars: coefficient; the line: fully open, the valve takes 10 % of its drop)");
  return text + Paragraph(std::string(TrustWord(kind.characteristic_source.trust)) + ": " +
                          std::string(kind.characteristic_source.text));
}

std::string SizesOf(const ValveKind& kind) {
  std::string text = "  size   Kv, m3/h   travel, mm   turns\n";
  for (const double size : kSizes) {
    const double bore = size * kMetresPerMm;
    const std::string travel =
        kind.quarter_turn ? "-" : Short(StemTravel(kind, bore) / kMetresPerMm);
    text += "  " + LeftAligned("DN" + Short(size), 7) +
            RightAligned(Short(FlowCoefficient::FromK(kind.full_open_k, bore).kv()), 8) +
            RightAligned(travel, 13) + RightAligned(Short(HandwheelTurns(kind, bore)), 8) + "\n";
  }
  return text + Paragraph("(Kv by K on a bore equal to the DN; turns are within 50 %)");
}

std::string PageOf(const ValveKind& kind) {
  return Opening(kind.name, "a kind of valve", kind.what_it_is, kind.when_not_to_use) +
         "\nflow coefficient against opening\n" + CharacteristicOf(kind) +
         "\nfully open, by size\n" + SizesOf(kind) + "\ndefaults\n" + DefaultsOf(kind) +
         "\nfit for\n" + FitnessOf(kind);
}

// --- Check valves -------------------------------------------------------------------------------

Cited InKpa(const Cited& pascals) {
  return {pascals.value / 1000.0, pascals.source};
}

std::string DefaultsOf(const CheckValveKind& kind) {
  DataTable table;
  table.Row("K / fT", kind.resistance);
  table.Row("min velocity constant", kind.minimum_velocity_constant);
  table.Row("weight, horizontal, kPa", InKpa(kind.weight_horizontal));
  table.Row("weight, vertical up, kPa", InKpa(kind.weight_vertical_up));
  table.Row("spring adds, kPa", InKpa(kind.spring_adds));
  table.Row("counterweight adds, kPa", InKpa(kind.counterweight_adds));
  table.Row("slam lag, s", kind.slam_lag);
  return table.text();
}

std::string FitnessOf(const CheckValveKind& kind) {
  DataTable table;
  table.Row("horizontal flow", kind.horizontal);
  table.Row("vertical up", kind.vertical_up);
  table.Row("vertical down", kind.vertical_down);
  table.Row("solids", kind.solids);
  return table.text();
}

std::string SizesOf(const CheckValveKind& kind) {
  std::string text = "  size    K fully open\n";
  for (const double size : kSizes) {
    text += "  " + LeftAligned("DN" + Short(size), 7) +
            RightAligned(Short(FullOpenK(kind, size * kMetresPerMm)), 13) + "\n";
  }
  return text +
         Paragraph("least velocity that holds it fully open, in water, without a spring: " +
                   Short(MinimumVelocity(kind, FlowCoefficient::kReferenceDensity)) + " m/s");
}

std::string CrackingOf(const CheckValveKind& kind) {
  std::string text = "  " + LeftAligned("", 16);
  for (const std::string& aid : ClosingAidNames()) text += RightAligned(aid, 9);
  text += "\n";
  for (const std::string& name : OrientationNames()) {
    text += "  " + LeftAligned(name, 16);
    for (const std::string& aid : ClosingAidNames()) {
      const double pressure =
          CrackingPressure(kind, *ClosingAidFromName(aid), *OrientationFromName(name));
      text += RightAligned(Short(pressure / 1000.0), 9);
    }
    text += "\n";
  }
  return text + Paragraph("(0: nothing pushes it shut, so it may stay open)");
}

std::string PageOf(const CheckValveKind& kind) {
  return Opening(kind.name, "a kind of check valve", kind.what_it_is, kind.when_not_to_use) +
         "\nby size\n" + SizesOf(kind) +
         "\ncracking pressure by orientation of the flow and assist, kPa\n" + CrackingOf(kind) +
         "\ndefaults\n" + DefaultsOf(kind) + "\nfit for\n" + FitnessOf(kind);
}

// --- The verb -----------------------------------------------------------------------------------

std::string ListOfKinds() {
  const auto line = [](const auto& kind) {
    constexpr std::size_t kColumn = 30;
    return Hanging(kind.what_it_is, kPageWidth, LeftAligned(Cat("  ", kind.name), kColumn));
  };
  std::string text = "valves\n";
  for (const std::string& name : ValveKindNames()) text += line(*FindValveKind(name));
  text += "\ncheck valves\n";
  for (const std::string& name : CheckValveKindNames()) text += line(*FindCheckValveKind(name));
  return text + "\nhandwheel kinds \"diaphragm weir\" shows what is known of one.\n";
}

std::string PagesOf(const std::string& name) {
  const ValveKind* valve = FindValveKind(name);
  const CheckValveKind* check_valve = FindCheckValveKind(name);
  if (!valve && !check_valve) {
    std::vector<std::string> names = ValveKindNames();
    for (const std::string& other : CheckValveKindNames()) names.push_back(other);
    throw Error("kind " + Quoted(name) + " is unknown;" + Suggest(name, names));
  }
  std::string text;
  if (valve) text += PageOf(*valve);
  if (valve && check_valve) text += "\n";
  if (check_valve) text += PageOf(*check_valve);
  return text + "\n" +
         Wrapped(Cat("Defaults until the maker's data replace them. ", kCaution), kPageWidth);
}

int RunKinds(const std::vector<std::string>& words) {
  WriteOutput(words.empty() ? ListOfKinds() : PagesOf(Joined(words, " ")), "");
  return kOk;
}

}  // namespace

void AddKinds(CLI::App& app, Command* chosen) {
  CLI::App* kinds = app.add_subcommand(
      "kinds", "Which kinds of valve and check valve are there, and what is known of one?");
  const auto words = std::make_shared<std::vector<std::string>>();
  kinds->add_option("KIND", *words, "Show this one: curve, defaults with their sources, fitness");
  kinds->callback([=] { *chosen = [words] { return RunKinds(*words); }; });
}

}  // namespace handwheel::shell
