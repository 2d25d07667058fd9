#include <algorithm>
#include <cmath>
#include <cstdio>
#include <optional>

#include "advice/words.h"
#include "correlations/check_valve_kind.h"
#include "handwheel/transient.h"
#include "text/cat.h"
#include "text/layout.h"
#include "text/number.h"
#include "text/utf8.h"
#include "transient/events.h"

namespace handwheel {
namespace {

constexpr double kLitre = 1e-3;  // [m³]

std::string Seconds(double time) {
  char text[32];
  std::snprintf(text, sizeof text, time < 100.0 ? "%.2f" : "%.0f", time);
  return Cat(text, " s");
}

std::string Volume(double volume) {
  return volume < kLitre ? Cat(ThreeDigits(volume * 1e6), " ml")
                         : Cat(ThreeDigits(volume / kLitre), " l");
}

// A pressure that some part is not to exceed, and how far it is.
struct AgainstRating {
  std::string name;
  double rating;  // [Pa]
  double peak;    // [Pa]
};

class TransientWords {
 public:
  explicit TransientWords(const Transient& run) : run_(run) {
    const Liquid liquid = run.network.fluid.Resolve();
    weight_ = liquid.density * run.network.site.gravity;
    vapour_ = liquid.vapour_pressure - run.network.site.atmospheric_pressure;
    CollectRatings();
  }

  std::string Verdict() const {
    if (run_.time.empty()) return Cat("Not run: ", run_.ended_early, ".");
    std::string text = AboutSlams();
    text += AboutPeak();
    text += AboutLow();
    text += AboutReturn();
    if (run_.slam_pressures_mean_nothing) {
      text += " A rigid column was stopped at once: that peak means nothing; ask for waves.";
    }
    if (!run_.ended_early.empty()) text += Cat(" The run ended early: ", run_.ended_early, ".");
    if (run_.interrupted) text += " The run was interrupted.";
    if (run_.num_unsettled_steps > 0) {
      text += Cat(" In ", std::to_string(run_.num_unsettled_steps),
                  " steps flows between pipes did not settle (worst ", InMetres(run_.worst_misfit),
                  "): do not rely on it.");
    }
    return text.substr(text.find_first_not_of(' '));
  }

  std::string Report() const {
    std::string text = Cat(run_.network.title, run_.network.title.empty() ? "" : ": ", Events(),
                           "\n\n", Verdict(), "\n");
    if (run_.time.empty()) return Cat(text, "\n", kCaution, "\n");
    text += "\nWhat happens\n";
    for (const LogEntry& entry : run_.log) text += Line(entry);
    text += Extremes() + Ratings() + Pipes();
    for (const std::string& assumed : run_.assumptions) {
      text += Cat("Assumed: ", assumed, ".\n");
    }
    return text + Balance() + Limits() + "\n" + std::string(kCaution) + "\n";
  }

 private:
  std::string Events() const {
    std::string text;
    for (const TransientEvent& event : run_.events) {
      text +=
          Cat(text.empty() ? "" : "; ", InWords(event), " at ", FormatDecimal(event.at, 5), " s");
    }
    return text.empty() ? "nothing happens" : text;
  }

  std::string Line(const LogEntry& entry) const {
    // What an event says of itself starts with the part's name already.
    const bool named = entry.message.starts_with(entry.name);
    const std::string time = Seconds(entry.time);
    return Cat("  ", std::string(time.size() < 10 ? 10 - time.size() : 0, ' '), time, ": ",
               named ? "" : entry.name + " ", entry.message, "\n");
  }

  const Slam* WorstSlam() const {
    const auto worst = std::max_element(
        run_.slams.begin(), run_.slams.end(),
        [](const Slam& a, const Slam& b) { return a.reverse_velocity < b.reverse_velocity; });
    return worst == run_.slams.end() ? nullptr : &*worst;
  }

  std::string AboutSlams() const {
    const Slam* slam = WorstSlam();
    if (slam == nullptr) return "";
    return Cat(" ", slam->check_valve, " shuts at ", Seconds(slam->time), " and catches ",
               InSpeed(slam->reverse_velocity), " of reverse flow (",
               SlamSeverity(slam->reverse_velocity), "), which makes ", InBar(slam->rise),
               " at its outlet.");
  }

  const PointExtremes* Highest() const {
    return &*std::max_element(
        run_.extremes.begin(), run_.extremes.end(),
        [](const PointExtremes& a, const PointExtremes& b) { return a.highest < b.highest; });
  }

  std::string AboutPeak() const {
    if (run_.extremes.empty()) return "";
    std::string over;
    std::size_t count = 0;
    for (const AgainstRating& part : ratings_) {
      if (part.peak <= part.rating) continue;
      if (++count <= 3) {
        over += Cat(over.empty() ? "" : ", ", part.name, " (", InBarGauge(part.peak), " against ",
                    InBar(part.rating), ")");
      }
    }
    const PointExtremes& peak = *Highest();
    std::string text = Cat(" The highest pressure at a point is ", InBarGauge(peak.highest),
                           ", at ", peak.name, " after ", Seconds(peak.highest_at), ".");
    if (count > 0) {
      text += Cat(" Over its rating: ", over, count > 3 ? " and others" : "", ".");
    } else if (!ratings_.empty()) {
      text += " No part goes over the rating that it gives.";
    }
    return text;
  }

  std::string AboutLow() const {
    double volume = 0.0;
    std::string where;
    for (const PointExtremes& point : run_.extremes) {
      if (point.largest_cavity <= volume) continue;
      volume = point.largest_cavity;
      where = point.name;
    }
    for (const PipeEnvelope& pipe : run_.envelopes) {
      if (pipe.largest_cavity <= volume) continue;
      volume = pipe.largest_cavity;
      where = pipe.name;
    }
    if (volume > 0.0) {
      return Cat(" Liquid parts at its vapour pressure, most in ", where, " (", Volume(volume),
                 "): when it comes together again it hits hard, and how hard is the least certain "
                 "number here.");
    }
    if (run_.extremes.empty()) return "";
    const auto low = std::min_element(
        run_.extremes.begin(), run_.extremes.end(),
        [](const PointExtremes& a, const PointExtremes& b) { return a.lowest < b.lowest; });
    std::string text = Cat(" The lowest is ", InBarGauge(low->lowest), ", at ", low->name,
                           " after ", Seconds(low->lowest_at));
    if (low->lowest < vapour_ - 1.0) return text + ", below the vapour pressure.";
    return text + (low->lowest < 0.0 ? ", under vacuum." : ".");
  }

  // Pumps and one-way parts that end with flow the wrong way.
  std::string AboutReturn() const {
    std::vector<std::string> names;
    for (const Pump& pump : run_.network.pumps) names.push_back(pump.name);
    for (const CheckValve& valve : run_.network.check_valves) names.push_back(valve.name);
    std::string text;
    constexpr double kLeast = 1e-6;  // [m³/s]
    for (const std::string& name : names) {
      const double flow = run_.Flow(name).back();
      if (flow >= -kLeast) continue;
      text += Cat(text.empty() ? "" : ", ", name, " (", InCubicMetres(-flow), ")");
    }
    return text.empty() ? "" : Cat(" At the end liquid still runs back through ", text, ".");
  }

  void AddRating(const std::string& name, const std::optional<double>& rating, double peak) {
    if (rating) ratings_.push_back({name, *rating, peak});
  }

  double PeakAt(const std::string& point) const {
    for (const PointExtremes& extremes : run_.extremes) {
      if (extremes.name == point) return extremes.highest;
    }
    return 0.0;
  }

  void CollectRatings() {
    for (std::size_t p = 0; p < run_.envelopes.size(); ++p) {
      const PipeEnvelope& envelope = run_.envelopes[p];
      double peak = 0.0;
      for (std::size_t i = 0; i < envelope.highest.size(); ++i) {
        peak = std::max(peak, (envelope.highest[i] - envelope.elevation[i]) * weight_);
      }
      AddRating(envelope.name, run_.network.pipes[p].rating, peak);
    }
    const auto add_all = [&](const auto& parts) {
      for (const auto& part : parts) {
        AddRating(part.name, part.rating, std::max(PeakAt(part.from), PeakAt(part.to)));
      }
    };
    add_all(run_.network.valves);
    add_all(run_.network.check_valves);
    add_all(run_.network.restrictions);
    add_all(run_.network.regulators);
  }

  std::string Extremes() const {
    constexpr std::size_t kMost = 12;
    std::size_t width = 5;
    std::vector<const PointExtremes*> shown;
    for (const PointExtremes& point : run_.extremes) shown.push_back(&point);
    std::stable_sort(shown.begin(), shown.end(), [](const auto* a, const auto* b) {
      return a->highest - a->lowest > b->highest - b->lowest;
    });
    const bool cut = shown.size() > kMost;
    if (cut) shown.resize(kMost);
    for (const PointExtremes* point : shown) width = std::max(width, CharacterCount(point->name));
    std::string text =
        Cat("\n  ", LeftAligned("point", width), "   highest, bar      at   lowest, bar      at\n");
    for (const PointExtremes* point : shown) {
      char numbers[128];
      std::snprintf(numbers, sizeof numbers, "   %12.2f %7.2f  %12.2f %7.2f\n",
                    point->highest / 1e5, point->highest_at, point->lowest / 1e5, point->lowest_at);
      text += Cat("  ", LeftAligned(point->name, width), numbers);
    }
    if (cut) text += "  ... and points where less changes\n";
    return text;
  }

  std::string Ratings() const {
    if (ratings_.empty()) return "";
    const auto nearest = std::max_element(ratings_.begin(), ratings_.end(),
                                          [](const AgainstRating& a, const AgainstRating& b) {
                                            return a.peak / a.rating < b.peak / b.rating;
                                          });
    return Cat("\nNearest to its rating: ", nearest->name, ", ", InBarGauge(nearest->peak), " of ",
               InBar(nearest->rating), ".\n");
  }

  std::string Pipes() const {
    std::size_t elastic = 0, reaches = 0, rigid = 0, steady = 0;
    double worst = 0.0;
    for (const PipeEnvelope& pipe : run_.envelopes) {
      elastic += pipe.model == ColumnModel::kElastic;
      rigid += pipe.model == ColumnModel::kRigid;
      steady += pipe.model == ColumnModel::kSteady;
      reaches += static_cast<std::size_t>(pipe.reaches);
      if (pipe.model != ColumnModel::kElastic) continue;
      worst = std::max(worst, std::abs(pipe.wave_speed_used / pipe.wave_speed - 1.0));
    }
    std::string text = Cat("\nWorked out in ", std::to_string(run_.num_steps), " steps of ",
                           FormatDecimal(run_.time_step * 1e3, 3), " ms: ");
    if (elastic > 0) {
      text += Cat(std::to_string(elastic), elastic == 1 ? " pipe" : " pipes", " with waves, in ",
                  std::to_string(reaches), " reaches (wave speeds altered by at most ",
                  FormatDecimal(100.0 * worst, 2), " %)");
    }
    if (rigid > 0) text += Cat(elastic > 0 ? ", " : "", std::to_string(rigid), " as rigid columns");
    if (steady > 0) {
      text += Cat(elastic + rigid > 0 ? ", " : "", std::to_string(steady), " without inertia");
    }
    return text + ".\n";
  }

  std::string Balance() const {
    const LiquidBalance& balance = run_.balance;
    char text[160];
    std::snprintf(text, sizeof text,
                  "Liquid: %.6g m3 came in, %.6g m3 went out, %.3g m3 is unaccounted for.\n",
                  balance.came_in, balance.went_out, balance.error);
    return text;
  }

  std::string Limits() const {
    return "Limits: no free gas, friction as in steady flow (waves die down faster in truth), "
           "pipes "
           "that do not move.\n";
  }

  const Transient& run_;
  double weight_ = 0.0;  // [Pa/m]
  double vapour_ = 0.0;  // gauge [Pa]
  std::vector<AgainstRating> ratings_;
};

}  // namespace

std::string Transient::Verdict() const {
  return TransientWords(*this).Verdict();
}

std::string Transient::Report() const {
  return TransientWords(*this).Report();
}

}  // namespace handwheel
