#include "optimise/fit_inference.h"

#include <Eigen/SVD>
#include <algorithm>
#include <cmath>
#include <limits>
#include <optional>

#include "optimise/distributions.h"
#include "units/numbers.h"

namespace handwheel::optimise {
namespace {

// Singular values below this share of the largest are round-off: the Jacobian is good to 1e-9.
constexpr double kRank = 1e-8;
constexpr double kInvisible = 1e-9;  // uncertainties per change that matters: no gauge moves
// Of a direction: numbers with less than this share of the largest are no part of it.
constexpr double kPartExactly = 1e-4, kPartFaintly = 0.3;
// Below it a reading is followed wherever it goes, and not checked by others.
constexpr double kUnchecked = 1e-6;
// Closer correlated than this, two readings' deviations tell the same story.
constexpr double kAlike = 0.99;
// Noise below this share of the uncertainties assumed is the solver's, not the gauges'.
constexpr double kNoNoise = 1e-6;
// Chance that a set of sound gauges has one named suspicious.
constexpr double kFalseAlarm = 0.05;
// Variance of Huber's estimate with threshold 2 over that of least squares, normal errors:
// E psi^2 / (E psi')^2 (Huber, Ann. Math. Statist. 35, 1964), 0.92054 / 0.95450^2.
constexpr double kHuberVariance = 1.0104;

// J = U S V^T of chosen columns, with the directions that count first.
struct Decomposition {
  std::vector<std::size_t> numbers;  // of the columns
  Eigen::MatrixXd u, v;              // v is square: what lies beyond the rank is unseen
  Eigen::VectorXd singular;          // as many as columns, 0 where there are fewer readings
  Eigen::Index rank = 0;

  Eigen::MatrixXd Covariance() const {
    const Eigen::MatrixXd seen = v.leftCols(rank);
    const Eigen::ArrayXd inverse = singular.head(rank).array().inverse().square();
    return seen * inverse.matrix().asDiagonal() * seen.transpose();
  }
};

Decomposition Decompose(const Eigen::MatrixXd& scaled, std::vector<std::size_t> numbers) {
  Decomposition found{std::move(numbers), {}, {}, {}, 0};
  const auto columns = Index(found.numbers.size());
  Eigen::MatrixXd chosen(scaled.rows(), columns);
  for (Eigen::Index c = 0; c < columns; ++c) {
    chosen.col(c) = scaled.col(Index(found.numbers[static_cast<std::size_t>(c)]));
  }
  found.singular = Eigen::VectorXd::Zero(columns);
  if (columns == 0) {
    found.u = Eigen::MatrixXd(scaled.rows(), 0);
    found.v = Eigen::MatrixXd(0, 0);
    return found;
  }
  const Eigen::JacobiSVD<Eigen::MatrixXd> svd(chosen, Eigen::ComputeThinU | Eigen::ComputeFullV);
  found.u = svd.matrixU();
  found.v = svd.matrixV();
  found.singular.head(svd.singularValues().size()) = svd.singularValues();
  const double least = std::max(kInvisible, kRank * found.singular[0]);
  found.rank = (found.singular.array() > least).count();
  return found;
}

class Inferrer {
 public:
  Inferrer(const FitInput& input, const FitModel::Point& point, const Minimum& minimum,
           const FitOptions& options)
      : input_(input), point_(point), minimum_(minimum), options_(options) {
    scaled_ = point.jacobian;
    for (std::size_t n = 0; n < input.numbers.size(); ++n) {
      scaled_.col(Index(n)) *= input.numbers[n].Room();
    }
  }

  Inference Run() {
    const Decomposition free = Decompose(scaled_, FreeNumbers(kNone));
    Squares(free);
    Noise();
    Standardise(free);
    FindBlind();
    Intervals(free);
    FindSuspicious(free);
    return std::move(found_);
  }

 private:
  static constexpr std::size_t kNone = std::numeric_limits<std::size_t>::max();

  bool IsAtBound(std::size_t n) const { return minimum_.at_lower[n] || minimum_.at_upper[n]; }

  std::vector<std::size_t> FreeNumbers(std::size_t also) const {
    std::vector<std::size_t> numbers;
    for (std::size_t n = 0; n < input_.numbers.size(); ++n) {
      if (!IsAtBound(n) || n == also) numbers.push_back(n);
    }
    return numbers;
  }

  // What least squares would leave: a step of Gauss and Newton from where the search ended.
  void Squares(const Decomposition& free) {
    const Eigen::MatrixXd seen = free.u.leftCols(free.rank);
    const Eigen::VectorXd left = -point_.residual;
    found_.leverage = seen.rowwise().squaredNorm();
    found_.chi_square = (left - seen * (seen.transpose() * left)).squaredNorm();
    found_.degrees_of_freedom = static_cast<int>(left.size() - free.rank);
  }

  void Noise() {
    const int freedom = found_.degrees_of_freedom;
    found_.noise_from_residuals = !input_.uncertainties_stated && freedom > 0;
    const double level = 0.5 + 0.5 * options_.confidence;
    const double outlying = 1.0 - 0.5 * kFalseAlarm / static_cast<double>(input_.readings.size());
    if (!found_.noise_from_residuals) {
      found_.quantile = NormalQuantile(level);
      found_.one_sided = NormalQuantile(options_.confidence);
      found_.outlying = NormalQuantile(outlying);
      return;
    }
    found_.noise = std::sqrt(found_.chi_square / freedom);
    found_.quantile = StudentQuantile(level, freedom);
    found_.one_sided = StudentQuantile(options_.confidence, freedom);
    found_.outlying = StudentQuantile(outlying, std::max(1, freedom - 1));
  }

  // Readings that stand out are left out one after another, the worst first, up to a third: so one
  // wild gauge does not make others look wrong, and two do not hide each other.
  void Standardise(const Decomposition& free) {
    std::vector<bool> trusted(input_.readings.size(), true);
    Compare(free, trusted);
    if (found_.noise_from_residuals) return;
    for (std::size_t left_out = 0; left_out < trusted.size() / 3; ++left_out) {
      const auto worst = WorstOf(trusted);
      if (!worst) return;
      trusted[*worst] = false;
      Compare(free, trusted);
    }
  }

  std::optional<std::size_t> WorstOf(const std::vector<bool>& trusted) const {
    std::optional<std::size_t> worst;
    double size = found_.outlying;
    for (std::size_t r = 0; r < trusted.size(); ++r) {
      const double off = std::abs(found_.standardised[Index(r)]);
      if (!trusted[r] || !(off > size)) continue;
      size = off;
      worst = r;
    }
    return worst;
  }

  // Deviations from the least squares of the trusted readings, over their scatter: of those that
  // took part 1 - leverage, of the others 1 + what the prediction adds. Cook & Weisberg, Residuals
  // and Influence in Regression, 1982, section 2.2.
  void Compare(const Decomposition& free, const std::vector<bool>& trusted) {
    const auto size = Index(free.numbers.size());
    Eigen::MatrixXd columns(scaled_.rows(), size);
    for (Eigen::Index c = 0; c < size; ++c) {
      columns.col(c) = scaled_.col(Index(free.numbers[static_cast<std::size_t>(c)]));
    }
    const Eigen::VectorXd left = -point_.residual;
    Eigen::MatrixXd kept = scaled_;
    Eigen::VectorXd counted = left;
    for (std::size_t r = 0; r < trusted.size(); ++r) {
      if (trusted[r]) continue;
      kept.row(Index(r)).setZero();
      counted[Index(r)] = 0.0;
    }
    const Eigen::MatrixXd covariance = Decompose(kept, free.numbers).Covariance();
    const Eigen::VectorXd step = covariance * (columns.transpose() * counted);
    const Eigen::VectorXd deviation = left - columns * step;
    found_.standardised = Eigen::VectorXd::Constant(left.size(), kNaN);
    for (Eigen::Index r = 0; r < left.size(); ++r) {
      const double predicted = columns.row(r).dot(covariance * columns.row(r).transpose());
      const bool takes_part = trusted[static_cast<std::size_t>(r)];
      const double variance = takes_part ? 1.0 - predicted : 1.0 + predicted;
      if (variance > kUnchecked) found_.standardised[r] = Studentised(deviation[r], variance);
    }
  }

  // NaN where the noise is estimated and nothing is left to estimate it without the reading.
  double Studentised(double deviation, double variance) const {
    if (!found_.noise_from_residuals) return deviation / std::sqrt(variance);
    const double freedom = found_.degrees_of_freedom;
    if (freedom < 2.0) return kNaN;
    if (!(found_.noise > 0.0)) return 0.0;
    const double inside = deviation / (found_.noise * std::sqrt(variance));
    const double rest = std::max(freedom - inside * inside, 1e-12 * freedom);
    return inside * std::sqrt((freedom - 1.0) / rest);
  }

  // Of all numbers, those at a bound too: which directions do the gauges not see?
  void FindBlind() {
    std::vector<std::size_t> everything(input_.numbers.size());
    for (std::size_t n = 0; n < everything.size(); ++n) everything[n] = n;
    const Decomposition all = Decompose(scaled_, everything);
    for (Eigen::Index k = 0; k < all.singular.size(); ++k) {
      const bool unseen = k >= all.rank;
      const bool faint = !unseen && found_.noise > all.singular[k];
      if (!unseen && !faint) continue;
      Blind blind;
      blind.faint = faint;
      const Eigen::VectorXd direction = all.v.col(k);
      const double part = (faint ? kPartFaintly : kPartExactly) * direction.cwiseAbs().maxCoeff();
      for (std::size_t n = 0; n < everything.size(); ++n) {
        if (std::abs(direction[Index(n)]) < part) continue;
        blind.numbers.push_back(n);
        blind.share.push_back(direction[Index(n)]);
      }
      found_.blind.push_back(std::move(blind));
    }
  }

  bool IsUnseen(std::size_t n) const {
    return std::any_of(found_.blind.begin(), found_.blind.end(), [n](const Blind& blind) {
      return !blind.faint &&
             std::find(blind.numbers.begin(), blind.numbers.end(), n) != blind.numbers.end();
    });
  }

  double Variance() const {
    const bool huber = options_.loss == FitLoss::kHuber && !found_.noise_from_residuals;
    return found_.noise * found_.noise * (huber ? kHuberVariance : 1.0);
  }

  void Intervals(const Decomposition& free) {
    const auto numbers = Index(input_.numbers.size());
    found_.error = Eigen::VectorXd::Constant(numbers, kNaN);
    found_.covariance = Eigen::MatrixXd::Constant(numbers, numbers, kNaN);
    const Eigen::MatrixXd covariance = Variance() * free.Covariance();
    for (std::size_t a = 0; a < free.numbers.size(); ++a) {
      for (std::size_t b = 0; b < free.numbers.size(); ++b) {
        if (IsUnseen(free.numbers[a]) || IsUnseen(free.numbers[b])) continue;
        found_.covariance(Index(free.numbers[a]), Index(free.numbers[b])) =
            covariance(Index(a), Index(b));
      }
    }
    for (std::size_t n = 0; n < input_.numbers.size(); ++n) {
      if (IsUnseen(n)) continue;
      found_.error[Index(n)] =
          IsAtBound(n) ? ErrorOffTheBound(n) : std::sqrt(found_.covariance(Index(n), Index(n)));
    }
  }

  // Of a number at its bound, were it free.
  double ErrorOffTheBound(std::size_t n) const {
    const Decomposition with = Decompose(scaled_, FreeNumbers(n));
    const auto at = std::find(with.numbers.begin(), with.numbers.end(), n) - with.numbers.begin();
    return std::sqrt(Variance() * with.Covariance()(at, at));
  }

  void FindSuspicious(const Decomposition& free) {
    const bool exact = found_.noise_from_residuals && found_.noise < kNoNoise;
    Eigen::Index worst = -1;
    for (Eigen::Index r = 0; r < found_.standardised.size(); ++r) {
      const double size = std::abs(found_.standardised[r]);
      if (!(size > found_.outlying)) continue;
      if (worst < 0 || size > std::abs(found_.standardised[worst])) worst = r;
    }
    if (exact || worst < 0) return;
    const Eigen::MatrixXd seen = free.u.leftCols(free.rank);
    for (Eigen::Index r = 0; r < found_.standardised.size(); ++r) {
      if (r != worst && 1.0 - found_.leverage[r] < kUnchecked) continue;
      const double together = -seen.row(r).dot(seen.row(worst));
      const double each = std::sqrt((1.0 - found_.leverage[r]) * (1.0 - found_.leverage[worst]));
      if (r == worst || std::abs(together / each) > kAlike) {
        found_.suspicious.push_back(static_cast<std::size_t>(r));
      }
    }
  }

  const FitInput& input_;
  const FitModel::Point& point_;
  const Minimum& minimum_;
  const FitOptions& options_;
  Eigen::MatrixXd scaled_;  // d residual / d (u / room)
  Inference found_;
};

}  // namespace

Inference Infer(const FitInput& input, const FitModel::Point& point, const Minimum& minimum,
                const FitOptions& options) {
  return Inferrer(input, point, minimum, options).Run();
}

}  // namespace handwheel::optimise
