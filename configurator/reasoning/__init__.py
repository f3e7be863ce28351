"""Why a build is as it is: what each statement costs, what binds, what another part would do."""
