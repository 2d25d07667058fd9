#pragma once

// The one header to include: model, files, units and the steady solver.

#include "handwheel/components.h"
#include "handwheel/errors.h"
#include "handwheel/file.h"
#include "handwheel/fluid.h"
#include "handwheel/friction_formula.h"
#include "handwheel/network.h"
#include "handwheel/readings.h"
#include "handwheel/steady.h"
#include "handwheel/table.h"
#include "handwheel/units.h"
