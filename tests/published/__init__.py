"""Problems with answers from outside this house, and the frames that they are about."""
