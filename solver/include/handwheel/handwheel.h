#pragma once

// The one header to include: model, files, units, the steady solver and studies.

#include "handwheel/backflow.h"
#include "handwheel/components.h"
#include "handwheel/errors.h"
#include "handwheel/file.h"
#include "handwheel/fluid.h"
#include "handwheel/friction_formula.h"
#include "handwheel/isolate.h"
#include "handwheel/network.h"
#include "handwheel/readings.h"
#include "handwheel/sensitivity.h"
#include "handwheel/steady.h"
#include "handwheel/sweep.h"
#include "handwheel/table.h"
#include "handwheel/transient.h"
#include "handwheel/units.h"
