"""simlab: plane frames of jointed heavy rods, solved exactly, simulated, compared, shown."""
