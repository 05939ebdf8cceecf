//! Tests of the recipe.
