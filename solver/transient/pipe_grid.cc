#include "transient/pipe_grid.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include "correlations/pipe_sizes.h"
#include "correlations/wave_speed.h"
#include "handwheel/errors.h"
#include "network/resolve.h"
#include "text/cat.h"
#include "text/number.h"
#include "text/suggest.h"

namespace handwheel {
namespace {

// --- Wave speed ----------------------------------------------------------------------------------

constexpr double kLeastWall = 2e-3;          // [m]
constexpr double kUsualWallOverBore = 0.05;  // common practice: PN 10 to 16 steel of DN50 to DN100

double WallOf(const Pipe& pipe, double unlined_bore, bool* assumed) {
  if (pipe.wall) return *pipe.wall;
  if (!pipe.size.empty()) {
    if (const auto size = FindPipeSize(pipe.size, ScheduleOf(pipe))) return size->wall;
  }
  *assumed = true;
  return std::max(kLeastWall, kUsualWallOverBore * unlined_bore);
}

// --- Time step -----------------------------------------------------------------------------------

struct Candidate {
  double travel_time;  // of a wave from end to end [s]
  bool must = false;   // was asked to be elastic
};

// How far the wave speed has to be altered for a whole number of reaches, as a share of it.
double AlterationFor(double travel_time, double time_step) {
  const double reaches = std::max(1.0, std::round(travel_time / time_step));
  return std::abs(travel_time / (reaches * time_step) - 1.0);
}

// The longest step at which all pipes that a reach fits into need no more than the bound, among
// some hundred; else that which needs least.
double ChooseStep(const std::vector<Candidate>& pipes, const TransientOptions& options) {
  double longest = 0.0;
  for (const Candidate& pipe : pipes) longest = std::max(longest, pipe.travel_time);
  const double most = longest / options.least_reaches;
  // A pipe far shorter than the others would make every step short: it becomes rigid instead.
  constexpr double kShortest = 1.0 / 200.0;
  double least = most;
  for (const Candidate& pipe : pipes) {
    if (pipe.must || pipe.travel_time >= kShortest * longest) {
      least = std::min(least, pipe.travel_time);
    }
  }
  constexpr int kTries = 400;
  double best = least, best_alteration = std::numeric_limits<double>::infinity();
  for (int i = 0; i < kTries; ++i) {
    const double step = least / (1.0 + i / 100.0);
    double alteration = 0.0;
    for (const Candidate& pipe : pipes) {
      if (pipe.travel_time < least * (1.0 - 1e-9)) continue;
      alteration = std::max(alteration, AlterationFor(pipe.travel_time, step));
    }
    // Half the bound, so that none is at its very edge.
    if (alteration <= 0.5 * options.wave_speed_bound) return step;
    if (alteration < best_alteration) {
      best_alteration = alteration;
      best = step;
    }
  }
  return best;
}

std::vector<ColumnModel> AskedFor(const Network& network, const TransientOptions& options) {
  std::vector<ColumnModel> asked(network.pipes.size(), options.columns);
  std::vector<std::string> names;
  for (const Pipe& pipe : network.pipes) names.push_back(pipe.name);
  for (const auto& [name, model] : options.pipes) {
    const auto found = std::find(names.begin(), names.end(), name);
    if (found == names.end()) {
      throw SettingError(Cat("no pipe is named ", Quoted(name), ";", Suggest(name, names)));
    }
    asked[static_cast<std::size_t>(found - names.begin())] = model;
  }
  return asked;
}

std::string Percent(double share) {
  return Cat(FormatDecimal(100.0 * share, 3), " %");
}

void CutIntoReaches(const Pipe& pipe, ColumnModel asked, const TransientOptions& options,
                    double time_step, PipeColumn* column) {
  column->wave_speed_used = std::numeric_limits<double>::quiet_NaN();
  column->model = asked;
  if (asked == ColumnModel::kRigid || asked == ColumnModel::kSteady) return;
  const double travel_time = pipe.length / column->wave_speed;
  const double alteration = AlterationFor(travel_time, time_step);
  if (alteration > options.wave_speed_bound) {
    if (asked == ColumnModel::kElastic) {
      throw SettingError(Cat("pipe ", Quoted(pipe.name), " is asked to be elastic: at a step of ",
                             FormatDecimal(time_step, 4), " s its wave speed would have to be ",
                             "altered by ", Percent(alteration), "; expected at most ",
                             Percent(options.wave_speed_bound), ". Give a time_step of ",
                             FormatDecimal(travel_time, 4), " s or a whole part of it."));
    }
    column->model = ColumnModel::kRigid;
    return;
  }
  column->model = ColumnModel::kElastic;
  const double reaches = std::max(1.0, std::round(travel_time / time_step));
  column->reaches = static_cast<int>(reaches);
  column->wave_speed_used = pipe.length / (reaches * time_step);
}

}  // namespace

WaveSpeedBasis WaveSpeedOf(const Pipe& pipe, const Network& network, const Liquid& liquid) {
  if (pipe.wave_speed) return {*pipe.wave_speed, "given"};
  WaveSpeedBasis found{0.0, "estimated: "};
  const Cited bulk = network.fluid.bulk_modulus
                         ? Cited{*network.fluid.bulk_modulus, {Trust::kSeen, "given"}}
                         : BulkModulusOf(network.fluid.name, network.fluid.temperature);
  const double bore = *UnlinedBoreIfGiven(pipe);
  ElasticWall wall{.bore = bore,
                   .thickness = WallOf(pipe, bore, &found.assumed),
                   .elastic_modulus = 0.0,
                   .poisson_ratio = 0.3};
  const std::string material = pipe.material.empty() ? "commercial steel" : pipe.material;
  const WallMaterial* known = FindWallMaterial(material);
  wall.elastic_modulus = pipe.elastic_modulus.value_or(known->elastic_modulus);
  wall.poisson_ratio = known->poisson_ratio;
  wall.restraint = RestraintFromName(pipe.restraint).value_or(Restraint::kAnchored);
  found.wave_speed = WaveSpeed(bulk.value, liquid.density, wall);
  found.assumed |= !network.fluid.bulk_modulus && bulk.source.trust == Trust::kCommonPractice;
  found.basis += Cat(material, ", wall ", FormatDecimal(wall.thickness * 1e3, 3),
                     " mm, bulk modulus ", FormatDecimal(bulk.value / 1e9, 3), " GPa (",
                     bulk.source.text, "), ", RestraintName(wall.restraint));
  return found;
}

PipeGrid MakeGrid(const Network& network, const Liquid& liquid, const TransientOptions& options) {
  const std::vector<ColumnModel> asked = AskedFor(network, options);
  PipeGrid grid;
  std::vector<Candidate> elastic;
  for (std::size_t i = 0; i < network.pipes.size(); ++i) {
    const Pipe& pipe = network.pipes[i];
    const WaveSpeedBasis found = WaveSpeedOf(pipe, network, liquid);
    PipeColumn column{.model = asked[i],
                      .wave_speed = found.wave_speed,
                      .basis = found.basis,
                      .assumed = found.assumed};
    if (asked[i] == ColumnModel::kAuto || asked[i] == ColumnModel::kElastic) {
      elastic.push_back({pipe.length / found.wave_speed, asked[i] == ColumnModel::kElastic});
    }
    grid.pipes.push_back(std::move(column));
  }
  constexpr double kStepsWithoutWaves = 2000.0;
  grid.time_step = options.time_step ? *options.time_step
                   : elastic.empty() ? options.duration / kStepsWithoutWaves
                                     : ChooseStep(elastic, options);
  const double steps = std::ceil(options.duration / grid.time_step * (1.0 - 1e-12));
  if (!(steps <= static_cast<double>(options.max_steps))) {
    throw SettingError(
        Cat("a run of ", FormatDecimal(options.duration, 6), " s in steps of ",
            FormatDecimal(grid.time_step, 4), " s takes ", FormatDecimal(steps, 10),
            " steps; expected at most ", std::to_string(options.max_steps),
            ". For levels over hours choose columns \"steady\", for slow flow \"rigid\"."));
  }
  grid.num_steps = static_cast<std::size_t>(std::max(1.0, steps));
  for (std::size_t i = 0; i < network.pipes.size(); ++i) {
    CutIntoReaches(network.pipes[i], asked[i], options, grid.time_step, &grid.pipes[i]);
  }
  return grid;
}

}  // namespace handwheel
