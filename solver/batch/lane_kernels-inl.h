// The arithmetic of lane_kernels.h, for the set of instructions at hand. No include guard: whoever
// compiles it includes it after hwy/foreach_target.h, which brings it in once for each set.

#include <hwy/highway.h>

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <cstring>
#include <numbers>
#include <utility>

#include "batch/lane_kernels.h"
#include "correlations/friction.h"
#include "steady/laplacian_program.h"
#include "steady/part_step.h"

HWY_BEFORE_NAMESPACE();

#define HANDWHEEL_LAPLACIAN_NAMESPACE HWY_NAMESPACE
#include "steady/laplacian_arithmetic-inl.h"
#undef HANDWHEEL_LAPLACIAN_NAMESPACE

namespace handwheel {
namespace HWY_NAMESPACE {

namespace hn = hwy::HWY_NAMESPACE;

// As many lanes as the vectors of these instructions hold, at most kLanes.
template <std::size_t kLanes>
using Tag = hn::CappedTag<double, kLanes>;

// All lanes of one number, for the elimination.
template <std::size_t kLanes>
struct Pack {
  using D = Tag<kLanes>;
  static constexpr std::size_t kParts = kLanes / hn::MaxLanes(D());
  hn::Vec<D> part[kParts];

  HWY_INLINE Pack() {
    for (std::size_t i = 0; i < kParts; ++i) part[i] = hn::Zero(D());
  }

  friend HWY_INLINE Pack operator+(const Pack& a, const Pack& b) {
    Pack sum;
    for (std::size_t i = 0; i < kParts; ++i) sum.part[i] = hn::Add(a.part[i], b.part[i]);
    return sum;
  }
  friend HWY_INLINE Pack operator*(const Pack& a, const Pack& b) {
    Pack product;
    for (std::size_t i = 0; i < kParts; ++i) product.part[i] = hn::Mul(a.part[i], b.part[i]);
    return product;
  }
  friend HWY_INLINE Pack operator/(double a, const Pack& b) {
    Pack quotient;
    for (std::size_t i = 0; i < kParts; ++i) {
      quotient.part[i] = hn::Div(hn::Set(D(), a), b.part[i]);
    }
    return quotient;
  }
  // A lane without a usable pivot ends in heads that are not finite, and is found by them.
  friend HWY_INLINE bool IsUsableInversePivot(const Pack&) { return true; }
};

template <std::size_t kLanes>
void SolveLanes(const LanePlan& plan, LaneArrays& at) {
  static_assert(sizeof(Pack<kLanes>) == kLanes * sizeof(double),
                "vectors of fewer lanes than the instructions have may be padded");
  auto* values = reinterpret_cast<Pack<kLanes>*>(at.values.data());
  auto* scratch = reinterpret_cast<Pack<kLanes>*>(at.scratch.data());
  auto* right_side = reinterpret_cast<Pack<kLanes>*>(at.right_side.data());
  EliminateLaplacian(*plan.program, values, scratch);
  SubstituteLaplacian(*plan.program, static_cast<const Pack<kLanes>*>(values), right_side, scratch);
  std::swap(at.right_side, at.correction);
  std::fill(at.correction.data() + plan.num_free * kLanes,
            at.correction.data() + plan.num_nodes * kLanes, 0.0);
}

// --- Functions ----------------------------------------------------------------------------------

template <typename D>
struct Mathematics {
  using V = hn::Vec<D>;
  using Bits = hn::RebindToUnsigned<D>;
  using BitsV = hn::Vec<Bits>;
  static constexpr std::uint64_t kMantissa = 0x000FFFFFFFFFFFFFULL;
  static constexpr std::uint64_t kOne = 0x3FF0000000000000ULL;
  static constexpr std::uint64_t kRootHalf = 0x3FE6A09E667F3BCDULL;

  static HWY_INLINE V Number(double x) { return hn::Set(D(), x); }

  // A whole number below 2^52 as a double, less 1023: its bits are the last ones of 2^52 + it.
  static HWY_INLINE V Exponent(BitsV biased) {
    constexpr double kTwoTo52 = 0x1p52;
    const BitsV bits = hn::Or(biased, hn::BitCast(Bits(), Number(kTwoTo52)));
    return hn::Sub(hn::BitCast(D(), bits), Number(kTwoTo52 + 1023.0));
  }

  // a + b x
  static HWY_INLINE V Line(double a, V b, V x) { return hn::Add(Number(a), hn::Mul(b, x)); }

  // ln v of a normal v > 0, to two units in the last place. v = 2^e m with m within a factor sqrt 2
  // of 1, and ln m = 2 artanh s = 2 (s + s³/3 + s⁵/5 + ...), s = (m - 1)/(m + 1), |s| < 0.172; the
  // first term left out, s^21/21, is 2e-17 of it. ln 2 in two parts: e times the first is exact.
  static HWY_INLINE V Log(V v) {
    constexpr double kLn2High = 0x1.62e42feep-1, kLn2Low = 0x1.a39ef35793c76p-33;
    const BitsV shifted = hn::Add(hn::BitCast(Bits(), v), hn::Set(Bits(), kOne - kRootHalf));
    const V e = Exponent(hn::ShiftRight<52>(shifted));
    const V m = hn::BitCast(
        D(), hn::Add(hn::And(shifted, hn::Set(Bits(), kMantissa)), hn::Set(Bits(), kRootHalf)));
    const V f = hn::Sub(m, Number(1.0));
    const V s = hn::Div(f, hn::Add(f, Number(2.0)));
    const V z = hn::Mul(s, s), z2 = hn::Mul(z, z);
    // The series in z = s², odd powers and even ones apart.
    const V odd = Line(
        1.0 / 3, Line(1.0 / 7, Line(1.0 / 11, Line(1.0 / 15, Number(1.0 / 19), z2), z2), z2), z2);
    const V even = Line(1.0 / 5, Line(1.0 / 9, Line(1.0 / 13, Number(1.0 / 17), z2), z2), z2);
    const V series = hn::Mul(z, hn::Add(odd, hn::Mul(z, even)));
    const V twice = hn::Add(s, s);
    const V small = hn::Add(hn::Mul(twice, series), hn::Mul(e, Number(kLn2Low)));
    return hn::Add(hn::Mul(e, Number(kLn2High)), hn::Add(twice, small));
  }

  // e^x for 0 <= x <= 2, to ten units in the last place: the power series of x/8, squared three
  // times.
  static HWY_INLINE V Exp(V x) {
    const V t = hn::Mul(x, Number(0.125));
    V sum = Number(1.0);
    for (int k = 13; k > 0; --k) sum = Line(1.0, hn::Mul(sum, Number(1.0 / k)), t);
    sum = hn::Mul(sum, sum);
    sum = hn::Mul(sum, sum);
    return hn::Mul(sum, sum);
  }

  // As LogLawCorrection(double) in friction.h, with its p and residual.
  static HWY_INLINE V LogLawCorrection(V p, V residual) {
    const V u = hn::Neg(hn::Mul(p, residual));
    const V square = Line(-1.0 / 3, Number(0.5), p);
    const V series = Line(1.0, Line(0.5, square, u), hn::Mul(p, u));
    return hn::Mul(hn::Mul(hn::Sub(p, Number(1.0)), residual), series);
  }
};

// --- One pass -----------------------------------------------------------------------------------

// The lanes of one vector, from lane `first` on.
template <std::size_t kLanes>
class Sweeper {
  using D = Tag<kLanes>;
  using V = hn::Vec<D>;
  using M = Mathematics<D>;
  static constexpr std::size_t kWidth = hn::MaxLanes(D());

 public:
  HWY_INLINE Sweeper(const LanePlan& plan, LaneArrays& at, OffRange& off, std::size_t first)
      : plan_(plan),
        at_(at),
        off_(off),
        first_(first),
        flow_(at.flow.data() + first),
        conductance_(at.conductance.data() + first),
        misfit_(at.misfit.data() + first),
        head_(at.head.data() + first),
        correction_(at.correction.data() + first),
        right_side_(at.right_side.data() + first),
        values_(at.values.data() + first),
        root_(at.root.data() + first),
        head_misfit_(hn::Zero(D())),
        step_(hn::Zero(D())),
        change_(hn::Zero(D())),
        largest_flow_(hn::Zero(D())) {}

  HWY_INLINE void Run() {
    MoveHeads();
    for (std::size_t l = 0; l < plan_.num_pipes; ++l) SweepPipe(l);
    for (std::size_t v = 0; v < plan_.num_valves; ++v) SweepValve(v);
    for (std::size_t k = 0; k < plan_.num_losses; ++k) SweepLoss(k);
    hn::Store(head_misfit_, D(), at_.head_misfit + first_);
    hn::Store(step_, D(), at_.step + first_);
    hn::Store(change_, D(), at_.change + first_);
    hn::Store(largest_flow_, D(), at_.largest_flow + first_);
  }

 private:
  struct Curve {
    V drop, slope;
  };

  HWY_INLINE V Load(const double* list, std::size_t i) const {
    return hn::Load(D(), list + i * kLanes);
  }
  HWY_INLINE void Store(V v, double* list, std::size_t i) const {
    hn::Store(v, D(), list + i * kLanes);
  }
  HWY_INLINE void Add(V v, double* list, std::size_t i) const {
    Store(hn::Add(Load(list, i), v), list, i);
  }

  HWY_INLINE void MoveHeads() {
    const double* feed = at_.feed.data() + first_;
    for (std::size_t i = 0; i < plan_.num_nodes; ++i) {
      Add(Load(correction_, i), head_, i);
      Store(Load(feed, i), right_side_, i);
    }
  }

  HWY_INLINE V NextFlow(std::size_t l) {
    const LanePlace& place = plan_.places[l];
    const V rise = hn::Sub(Load(correction_, place.from), Load(correction_, place.to));
    const V change = hn::Mul(Load(conductance_, l), hn::Add(Load(misfit_, l), rise));
    change_ = hn::Max(change_, hn::Abs(change));
    return hn::Add(Load(flow_, l), change);
  }

  struct Root {
    V y, p;
  };
  struct Wall {
    V drop_over_flow, slope;
  };

  // As SolveLogLaw(double) in friction.h, from the root of the last pass. A correction leaves an
  // error of p⁴r⁴/4, r the residual, p < 0.15: where r is too large for that to be round-off, a
  // second one follows. p is the last correction's: the slope need not be exact.
  HWY_INLINE Root LogLawRoot(V a, V c, V y) const {
    constexpr double kCloseEnough = 2e-3;
    V p, residual;
    V better = Corrected(a, c, y, p, residual);
    const auto far_off = hn::Gt(hn::Abs(residual), M::Number(kCloseEnough));
    if (HWY_UNLIKELY(!hn::AllFalse(D(), far_off))) CorrectAgain(a, c, far_off, better, p);
    return {better, p};
  }

  HWY_INLINE V Corrected(V a, V c, V y, V& p, V& residual) const {
    const V w = hn::Add(a, hn::Mul(c, y));
    p = hn::Div(c, hn::Add(w, c));
    residual = hn::Add(y, M::Log(w));
    return hn::Add(y, M::LogLawCorrection(p, residual));
  }

  template <typename Mask>
  HWY_NOINLINE void CorrectAgain(V a, V c, Mask far_off, V& y, V& p) const {
    V again_p, residual;
    const V again = Corrected(a, c, y, again_p, residual);
    y = hn::IfThenElse(far_off, again, y);
    p = hn::IfThenElse(far_off, again_p, p);
  }

  HWY_INLINE void SweepPipe(std::size_t l) {
    const LanePipe& pipe = plan_.pipes[l];
    const V q = NextFlow(l);
    const V size = hn::Abs(q);
    const V re = hn::Mul(M::Number(pipe.re_per_flow), size);
    const V minor = hn::Mul(M::Number(pipe.minor_quadratic), size);
    const V linear = M::Number(pipe.minor_linear);
    const V a = M::Number(pipe.wall);
    const V c = hn::Div(M::Number(kColebrookScale), hn::Max(re, M::Number(kTurbulentLimit)));
    const Root root = LogLawRoot(a, c, Load(root_, l));
    Store(root.y, root_, l);
    const V f = hn::Div(M::Number(kHalfLn10Squared), hn::Mul(root.y, root.y));
    const V turbulent = hn::Mul(hn::Mul(M::Number(pipe.turbulent), f), size);
    const V bend = hn::Sub(M::Number(2.0), hn::Add(root.p, root.p));  // 2 + d ln f / d ln Re
    const auto is_laminar = hn::Le(re, M::Number(kLaminarLimit));
    const V laminar = M::Number(pipe.laminar);
    Wall wall{hn::IfThenElse(is_laminar, laminar, turbulent),
              hn::IfThenElse(is_laminar, laminar, hn::Mul(turbulent, bend))};
    const auto between = hn::AndNot(is_laminar, hn::Lt(re, M::Number(kTurbulentLimit)));
    if (HWY_UNLIKELY(!hn::AllFalse(D(), between))) TakeBetween(pipe, re, between, wall);
    Linearise(l, q,
              {hn::Mul(hn::Add(hn::Add(wall.drop_over_flow, linear), minor), q),
               hn::Add(hn::Add(wall.slope, linear), hn::Add(minor, minor))});
  }

  // PipeFriction::Transition, for the lanes that it is for.
  template <typename Mask>
  HWY_NOINLINE void TakeBetween(const LanePipe& pipe, V re, Mask between, Wall& wall) const {
    const V length = M::Log(
        hn::IfThenElse(between, hn::Mul(re, M::Number(1.0 / kLaminarLimit)), M::Number(1.0)));
    const V square = M::Number(pipe.square), cube = hn::Mul(M::Number(pipe.cube), length);
    const V ln_ratio = hn::Mul(hn::Mul(length, length), hn::Add(square, cube));
    // f |q| turbulent = 64/Re |q| turbulent e^ln_ratio, and the first factors are `laminar`.
    const V drop_over_flow = hn::Mul(M::Number(pipe.laminar), M::Exp(ln_ratio));
    const V bend =
        hn::Add(M::Number(1.0),
                hn::Mul(length, hn::Add(hn::Add(square, square), hn::Mul(M::Number(3.0), cube))));
    wall.drop_over_flow = hn::IfThenElse(between, drop_over_flow, wall.drop_over_flow);
    wall.slope = hn::IfThenElse(between, hn::Mul(drop_over_flow, bend), wall.slope);
  }

  HWY_INLINE void SweepValve(std::size_t v) {
    const std::size_t l = plan_.first_valve() + v;
    const V r = Load(at_.valve_r.data() + first_, v);
    const V rev_per_flow = Load(at_.valve_rev_per_flow.data() + first_, v);
    const V turbulent_from = Load(at_.valve_turbulent_from.data() + first_, v);
    const auto shut = hn::Eq(r, hn::Inf(D()));
    const V q = hn::IfThenZeroElse(shut, NextFlow(l));
    const V size = hn::Abs(q);
    const V ratio = hn::Mul(hn::IfThenZeroElse(shut, r), size);
    Curve curve{hn::Mul(ratio, q), hn::Add(ratio, ratio)};
    const auto off = hn::AndNot(shut, hn::Lt(hn::Mul(rev_per_flow, size), turbulent_from));
    if (HWY_UNLIKELY(!hn::AllFalse(D(), off))) {
      PatchValve(v, q, hn::IfThenElse(off, hn::Set(D(), 1.0), hn::Zero(D())), curve);
    }
    if (HWY_UNLIKELY(!hn::AllFalse(D(), shut))) {
      LineariseShut(l, q, curve, shut);
    } else {
      Linearise(l, q, curve);
    }
  }

  HWY_NOINLINE void PatchValve(std::size_t v, V q, V off, Curve& curve) const {
    HWY_ALIGN double flow[kWidth], wanted[kWidth], drop[kWidth], slope[kWidth];
    hn::Store(q, D(), flow);
    hn::Store(off, D(), wanted);
    Unpack(curve, drop, slope);
    for (std::size_t i = 0; i < kWidth; ++i) {
      if (wanted[i] != 0.0) Take(off_.Valve(v, first_ + i, flow[i]), i, drop, slope);
    }
    Repack(drop, slope, curve);
  }

  HWY_INLINE void SweepLoss(std::size_t k) {
    const LaneLoss& loss = plan_.losses[k];
    const std::size_t l = plan_.first_loss() + k;
    const V q = NextFlow(l);
    const V square = hn::Mul(q, q), least = M::Number(loss.q_linear_squared);
    const V r = M::Number(loss.r);
    const V root = hn::Sqrt(hn::Add(square, least));
    Curve curve{hn::Mul(hn::Mul(r, q), root),
                hn::Div(hn::Mul(r, hn::Add(hn::Add(square, square), least)), root)};
    const auto off = hn::Lt(hn::Abs(q), M::Number(loss.plain_from));
    if (HWY_UNLIKELY(!hn::AllFalse(D(), off))) PatchLoss(k, loss.plain_from, q, curve);
    Linearise(l, q, curve);
  }

  HWY_NOINLINE void PatchLoss(std::size_t k, double plain_from, V q, Curve& curve) const {
    HWY_ALIGN double flow[kWidth], drop[kWidth], slope[kWidth];
    hn::Store(q, D(), flow);
    Unpack(curve, drop, slope);
    for (std::size_t i = 0; i < kWidth; ++i) {
      if (std::abs(flow[i]) < plain_from) Take(off_.Loss(k, flow[i]), i, drop, slope);
    }
    Repack(drop, slope, curve);
  }

  static HWY_INLINE void Unpack(const Curve& curve, double* drop, double* slope) {
    hn::Store(curve.drop, D(), drop);
    hn::Store(curve.slope, D(), slope);
  }
  static HWY_INLINE void Repack(const double* drop, const double* slope, Curve& curve) {
    curve = {hn::Load(D(), drop), hn::Load(D(), slope)};
  }
  static HWY_INLINE void Take(const DropSlope& at, std::size_t i, double* drop, double* slope) {
    drop[i] = at.drop;
    slope[i] = at.slope;
  }

  HWY_INLINE V HeadDifference(const LanePlace& place) const {
    return hn::Sub(Load(head_, place.from), Load(head_, place.to));
  }

  HWY_INLINE void Linearise(std::size_t l, V q, const Curve& curve) {
    const LanePlace& place = plan_.places[l];
    const V y = hn::Div(M::Number(1.0), hn::Max(curve.slope, M::Number(kLeastSlope)));
    PutDown(l, place, q, y, hn::Sub(HeadDifference(place), curve.drop));
  }

  template <typename Mask>
  HWY_NOINLINE void LineariseShut(std::size_t l, V q, const Curve& curve, Mask shut) {
    const LanePlace& place = plan_.places[l];
    const V y = hn::Div(M::Number(1.0), hn::Max(curve.slope, M::Number(kLeastSlope)));
    PutDown(l, place, q, hn::IfThenElse(shut, M::Number(kTokenConductance), y),
            hn::IfThenZeroElse(shut, hn::Sub(HeadDifference(place), curve.drop)));
  }

  HWY_INLINE void PutDown(std::size_t l, const LanePlace& place, V q, V y, V misfit) {
    Store(q, flow_, l);
    Store(y, conductance_, l);
    Store(misfit, misfit_, l);
    const V change = hn::Mul(y, misfit);
    head_misfit_ = hn::Max(head_misfit_, hn::Abs(misfit));
    step_ = hn::Max(step_, hn::Abs(change));
    largest_flow_ = hn::Max(largest_flow_, hn::Abs(q));
    Add(y, values_, place.conductance);
    const V wanted = hn::Add(q, change);
    Add(hn::Neg(wanted), right_side_, place.from);
    Add(wanted, right_side_, place.to);
  }

  const LanePlan& plan_;
  LaneArrays& at_;
  OffRange& off_;
  std::size_t first_;
  double *flow_, *conductance_, *misfit_, *head_, *correction_, *right_side_, *values_, *root_;
  V head_misfit_, step_, change_, largest_flow_;
};

template <std::size_t kLanes>
void SweepLanes(const LanePlan& plan, LaneArrays& at, OffRange& off) {
  std::memset(at.values.data(), 0, (plan.program->num_values + 1) * kLanes * sizeof(double));
  for (const std::uint32_t pin : plan.pins) {
    for (std::size_t lane = 0; lane < kLanes; ++lane) at.values.data()[pin * kLanes + lane] += 1.0;
  }
  for (std::size_t first = 0; first < kLanes; first += hn::MaxLanes(Tag<kLanes>())) {
    Sweeper<kLanes>(plan, at, off, first).Run();
  }
}

template <std::size_t kLanes>
LaneKernels Kernels() {
  return {hwy::TargetName(HWY_TARGET), kLanes, &SolveLanes<kLanes>, &SweepLanes<kLanes>};
}

}  // namespace HWY_NAMESPACE
}  // namespace handwheel
HWY_AFTER_NAMESPACE();
