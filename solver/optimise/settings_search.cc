#include "optimise/settings_search.h"

#include <ceres/problem.h>
#include <ceres/solver.h>

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>
#include <functional>
#include <set>

#include "optimise/settings_level.h"

namespace handwheel {
namespace {

constexpr double kFirstWeight = 10.0, kLastWeight = 1e4, kWeightStep = 31.6227766016838;
constexpr double kHalfBox = 0.25;  // of a number's size
constexpr int kBoxes = 12, kRounds = 4, kCutSteps = 4;
constexpr int kIterations = 30;    // of one minimisation, which ends by itself in 3 to 10
constexpr double kFelt = 1e-3;     // share of a pull from which something pulls against it
constexpr double kDiffers = 1e-6;  // misses of two starts
constexpr double kProbe = 0.05;    // how far to look back from an end, in parts of the size
constexpr double kSlack =
    1e-6;  // a pull below this share of what is missed lets no number go from its end

struct Box {
  Unknowns lower{}, upper{};
};

double Length(const Unknowns& unknowns) {
  double sum = 0.0;
  for (const double one : unknowns) sum += one * one;
  return std::sqrt(sum);
}

bool All(const std::vector<bool>& flags) {
  return std::all_of(flags.begin(), flags.end(), [](bool flag) { return flag; });
}

class Search {
 public:
  Search(SettingsModel* model, const std::vector<double>& start)
      : model_(*model), scale_(model->varied()), allowed_(model->wishes().size(), 0.0) {
    for (std::size_t i = 0; i < start.size(); ++i) {
      unknown_.push_back(scale_.Of(i, start[i]));
      bounds_.lower.push_back(scale_.Lower(i));
      bounds_.upper.push_back(scale_.Upper(i));
    }
  }

  SettingsFound Run(const SettingsFound& best) {
    const SettingsModel::Answer first = Here();
    if (!first.solution) return {.reason = first.reason};
    std::set<int, std::greater<>> priorities;
    for (const Wish& wish : model_.wishes()) priorities.insert(wish.priority);
    for (const int priority : priorities) RunLevel({.priority = priority});
    Describe(priorities);
    if (IsBetter(best, found_, false)) return std::move(found_);
    RunLevel({.priority = 0, .moves = true});
    Describe(priorities);
    return std::move(found_);
  }

 private:
  SettingsModel::Answer Here() { return model_.At(scale_.Numbers(unknown_)); }
  const Wish& WishOf(std::size_t w) const { return model_.wishes()[w]; }

  double MissOf(std::size_t w, const SettingsModel::Answer& at) const {
    return std::isnan(at.value[w]) ? 0.0 : WishOf(w).Miss(at.value[w]);
  }

  // Root of the sum of squares.
  double OwnMiss(const Level& level, const SettingsModel::Answer& at) const {
    double sum = 0.0;
    for (std::size_t w = 0; w < allowed_.size(); ++w) {
      if (level.Owns(WishOf(w))) sum += MissOf(w, at) * MissOf(w, at);
    }
    return std::sqrt(sum);
  }

  bool TouchesWhatComesBefore(const Level& level, const SettingsModel::Answer& at) const {
    for (std::size_t w = 0; w < allowed_.size(); ++w) {
      if (level.ComesAfter(WishOf(w)) && std::abs(MissOf(w, at)) > allowed_[w]) return true;
    }
    return false;
  }

  void RunLevel(const Level& level) {
    if (model_.interrupted()) return;
    if (level.moves ? Length(unknown_) > kReached : OwnMiss(level, Here()) > kReached) {
      RaiseWeights(level);
    }
    if (model_.interrupted()) return;
    const SettingsModel::Answer at = Here();
    if (OwnMiss(level, at) > kReached) {
      found_.pulls.push_back(PullOf(level, at));
      for (const std::size_t i : found_.pulls.back().at_bound) {
        bounds_.lower[i] = bounds_.upper[i] = unknown_[i];  // moved back, it would miss by more
      }
    }
    for (std::size_t w = 0; w < allowed_.size(); ++w) {
      if (level.Owns(WishOf(w))) allowed_[w] = std::abs(MissOf(w, at));
    }
  }

  void RaiseWeights(const Level& level) {
    for (weight_ = kFirstWeight; !model_.interrupted(); weight_ *= kWeightStep) {
      Minimise(level);
      const bool last = weight_ * kWeightStep > 1.01 * kLastWeight;
      if (model_.interrupted() || last || !TouchesWhatComesBefore(level, Here())) return;
    }
  }

  // --- One minimisation ---

  void Minimise(const Level& level) {
    for (int i = 0; i < kBoxes && !model_.interrupted(); ++i) {
      const Box box = BoxAround(unknown_);
      MinimiseInside(level, box);
      if (!StandsAtASide(box)) return;
    }
  }

  Box BoxAround(const Unknowns& centre) const {
    Box box = bounds_;
    for (std::size_t i = 0; i < centre.size(); ++i) {
      box.lower[i] = std::max(box.lower[i], centre[i] - kHalfBox);
      box.upper[i] = std::min(box.upper[i], centre[i] + kHalfBox);
    }
    return box;
  }

  static bool AtLower(const Box& box, std::size_t i, double unknown) {
    return unknown - box.lower[i] <= UnknownScale::kSnap;
  }
  static bool AtUpper(const Box& box, std::size_t i, double unknown) {
    return box.upper[i] - unknown <= UnknownScale::kSnap;
  }
  // At an end, and not pulled back from it: flow often ceases to follow a valve there.
  static bool IsBeyond(const Box& box, std::size_t i, double unknown, double pull, double missed) {
    const double slack = kSlack * missed;
    if (AtLower(box, i, unknown) && AtUpper(box, i, unknown)) return true;
    return (AtLower(box, i, unknown) && pull > -slack) ||
           (AtUpper(box, i, unknown) && pull < slack);
  }

  // Of the box that is no end of the number itself.
  bool StandsAtASide(const Box& box) const {
    for (std::size_t i = 0; i < unknown_.size(); ++i) {
      const bool lower = AtLower(box, i, unknown_[i]) && !AtLower(bounds_, i, unknown_[i]);
      const bool upper = AtUpper(box, i, unknown_[i]) && !AtUpper(bounds_, i, unknown_[i]);
      if (lower || upper) return true;
    }
    return false;
  }

  void MinimiseInside(const Level& level, const Box& box) {
    for (int round = 0; round < kRounds && !model_.interrupted(); ++round) {
      TakeCutSteps(level, box);
      const std::vector<bool> held = WantBeyond(level, box);
      if (model_.interrupted() || All(held)) return;
      RunCeres(level, box, held);
      if (model_.interrupted() || WantBeyond(level, box) == held) return;
    }
  }

  // Steps of Gauss and Newton that leave the box, cut off at its sides, as long as they help.
  void TakeCutSteps(const Level& level, const Box& box) {
    const LevelCost cost(&model_, level, allowed_, weight_);
    for (int i = 0; i < kCutSteps; ++i) {
      Unknowns step;
      double here = 0.0, there = 0.0;
      if (!GaussNewton(cost, box, &step, &here)) return;
      Unknowns next = unknown_;
      bool cut = false;
      for (std::size_t k = 0; k < next.size(); ++k) {
        next[k] = std::clamp(unknown_[k] + step[k], box.lower[k], box.upper[k]);
        cut = cut || next[k] != unknown_[k] + step[k];
      }
      if (!cut || next == unknown_ || !CostAt(cost, next, &there) || !(there < here)) return;
      unknown_ = next;
    }
  }

  static std::vector<const double*> PlacesOf(const Unknowns& unknowns) {
    std::vector<const double*> places;
    for (const double& one : unknowns) places.push_back(&one);
    return places;
  }

  static bool CostAt(const LevelCost& cost, const Unknowns& unknowns, double* value) {
    Eigen::VectorXd residual(cost.num_residuals());
    if (!cost.Evaluate(PlacesOf(unknowns).data(), residual.data(), nullptr)) return false;
    *value = residual.squaredNorm();
    return true;
  }

  bool GaussNewton(const LevelCost& cost, const Box& box, Unknowns* step, double* value) const {
    const auto n = static_cast<Eigen::Index>(unknown_.size());
    Eigen::VectorXd residual(cost.num_residuals());
    Eigen::MatrixXd jacobian(cost.num_residuals(), n);
    std::vector<double*> columns;
    for (Eigen::Index i = 0; i < n; ++i) columns.push_back(jacobian.col(i).data());
    if (!cost.Evaluate(PlacesOf(unknown_).data(), residual.data(), columns.data())) return false;
    *value = residual.squaredNorm();
    const Eigen::VectorXd pull = jacobian.transpose() * residual;
    for (std::size_t i = 0; i < unknown_.size(); ++i) {
      const auto column = static_cast<Eigen::Index>(i);
      if (IsBeyond(box, i, unknown_[i], pull[column], residual.norm()))
        jacobian.col(column).setZero();
    }
    const Eigen::VectorXd solved = jacobian.completeOrthogonalDecomposition().solve(-residual);
    step->assign(solved.data(), solved.data() + n);
    return true;
  }

  void RunCeres(const Level& level, const Box& box, const std::vector<bool>& held) {
    ceres::Problem problem;
    std::vector<double*> blocks;
    for (double& one : unknown_) blocks.push_back(&one);
    problem.AddResidualBlock(new LevelCost(&model_, level, allowed_, weight_), nullptr, blocks);
    for (std::size_t i = 0; i < unknown_.size(); ++i) {
      problem.SetParameterLowerBound(blocks[i], 0, box.lower[i]);
      problem.SetParameterUpperBound(blocks[i], 0, box.upper[i]);
      if (held[i]) problem.SetParameterBlockConstant(blocks[i]);
    }
    ceres::Solver::Options options;
    options.minimizer_type = ceres::TRUST_REGION;
    options.trust_region_strategy_type = ceres::LEVENBERG_MARQUARDT;
    options.linear_solver_type = ceres::DENSE_QR;
    options.logging_type = ceres::SILENT;
    options.num_threads = 1;
    options.max_num_iterations = kIterations;
    // A miss of 1e-7 of a flow that follows its valve by 1 % still pulls by 1e-9.
    options.gradient_tolerance = 1e-10;
    options.function_tolerance = 1e-10;
    options.parameter_tolerance = 1e-9;
    ceres::Solver::Summary summary;
    ceres::Solve(options, &problem, &summary);
  }

  // --- What pulls where: gradients of half the sums of squares ---

  // In parts of the sizes of both.
  void AddPull(std::size_t w, double force, const SettingsModel::Answer& at, Unknowns* pull) const {
    const std::size_t n = unknown_.size();
    for (std::size_t i = 0; i < n; ++i) {
      (*pull)[i] += force * at.slope[w * n + i] * model_.varied()[i].size / WishOf(w).size;
    }
  }

  Unknowns PullOfOwn(const Level& level, const SettingsModel::Answer& at) const {
    Unknowns pull = level.moves ? unknown_ : Unknowns(unknown_.size(), 0.0);
    for (std::size_t w = 0; w < allowed_.size(); ++w) {
      if (level.Owns(WishOf(w))) AddPull(w, MissOf(w, at), at, &pull);
    }
    return pull;
  }

  Unknowns PullOfBefore(std::size_t w, const SettingsModel::Answer& at) const {
    Unknowns pull(unknown_.size(), 0.0);
    const double miss = MissOf(w, at), excess = std::abs(miss) - allowed_[w];
    if (excess > 0.0) AddPull(w, weight_ * weight_ * std::copysign(excess, miss), at, &pull);
    return pull;
  }

  std::vector<bool> WantBeyond(const Level& level, const Box& box) {
    std::vector<bool> beyond(unknown_.size(), false);
    const SettingsModel::Answer at = Here();
    if (!at.solution) return beyond;
    Unknowns pull = PullOfOwn(level, at);
    for (std::size_t w = 0; w < allowed_.size(); ++w) {
      if (!level.ComesAfter(WishOf(w))) continue;
      const Unknowns back = PullOfBefore(w, at);
      for (std::size_t i = 0; i < pull.size(); ++i) pull[i] += back[i];
    }
    const double missed = level.moves ? Length(unknown_) : OwnMiss(level, at);
    for (std::size_t i = 0; i < pull.size(); ++i) {
      beyond[i] = IsBeyond(box, i, unknown_[i], pull[i], missed);
    }
    return beyond;
  }

  Pull PullOf(const Level& level, const SettingsModel::Answer& at) {
    Pull found;
    double own = 0.0;  // as it would be if nothing cancelled
    for (std::size_t w = 0; w < allowed_.size(); ++w) {
      if (!level.Owns(WishOf(w)) || std::abs(MissOf(w, at)) <= kReached) continue;
      found.missed.push_back(w);
      Unknowns alone(unknown_.size(), 0.0);
      AddPull(w, MissOf(w, at), at, &alone);
      own += Length(alone);
    }
    for (std::size_t i = 0; i < unknown_.size(); ++i) {
      const bool low = AtLower(bounds_, i, unknown_[i]), high = AtUpper(bounds_, i, unknown_[i]);
      if (low != high && MissesMoreInside(level, i)) found.at_bound.push_back(i);
    }
    for (std::size_t w = 0; w < allowed_.size(); ++w) {
      if (!level.ComesAfter(WishOf(w))) continue;
      if (Length(PullOfBefore(w, at)) > kFelt * own) found.against.push_back(w);
    }
    // A number that a level before has driven to its end stays there for that level's sake.
    const bool frozen = bounds_.lower == bounds_.upper;
    if (frozen && !found_.pulls.empty()) found.against = found_.pulls.back().missed;
    found.conflict =
        found.missed.size() > 1 && own > kReached && Length(PullOfOwn(level, at)) < 0.9 * own;
    found.no_effect = own <= kReached && found.at_bound.empty() && found.against.empty();
    return found;
  }

  // Whether an end is what keeps the level back: a little inside it, the level misses more.
  bool MissesMoreInside(const Level& level, std::size_t i) {
    const double here = OwnMiss(level, Here());
    Unknowns inside = unknown_;
    inside[i] += AtLower(bounds_, i, unknown_[i]) ? kProbe : -kProbe;
    const SettingsModel::Answer& there = model_.At(scale_.Numbers(inside));
    return there.solution && OwnMiss(level, there) > here + kReached;
  }

  void Describe(const std::set<int, std::greater<>>& priorities) {
    const SettingsModel::Answer at = Here();
    found_.numbers = scale_.Numbers(unknown_);
    found_.solved = at.solution.has_value();
    found_.reason = at.reason;
    if (!found_.solved) return;
    found_.value = at.value;
    found_.miss.clear();
    found_.level_miss.clear();
    for (std::size_t w = 0; w < allowed_.size(); ++w) found_.miss.push_back(MissOf(w, at));
    for (const int priority : priorities) {
      found_.level_miss.push_back(OwnMiss({.priority = priority}, at));
    }
    found_.movement = Length(unknown_);
    std::size_t exact = 0;
    for (const Wish& wish : model_.wishes()) exact += wish.lower == wish.upper ? 1 : 0;
    found_.some_choice = exact < unknown_.size() && found_.movement > kDiffers;
  }

  SettingsModel& model_;
  const UnknownScale scale_;
  Unknowns unknown_;
  Box bounds_;
  std::vector<double> allowed_;  // by wish: the miss its own level was left with
  double weight_ = kFirstWeight;
  SettingsFound found_;
};

}  // namespace

SettingsFound SearchSettings(SettingsModel* model, const std::vector<double>& start,
                             const SettingsFound& best) {
  return Search(model, start).Run(best);
}

bool IsBetter(const SettingsFound& one, const SettingsFound& other, bool if_moved_less) {
  if (one.solved != other.solved) return one.solved;
  for (std::size_t i = 0; i < one.level_miss.size(); ++i) {
    if (std::abs(one.level_miss[i] - other.level_miss[i]) <= kDiffers) continue;
    return one.level_miss[i] < other.level_miss[i];
  }
  return if_moved_less && one.movement < other.movement - kDiffers;
}

}  // namespace handwheel
