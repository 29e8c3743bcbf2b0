"""Acts of the yard itself, and what every act uses: finding, moments, permissions."""
