"""Pictures of results: charts, templates at true size and sliders."""
