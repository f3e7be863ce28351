"""What a build costs over the years it is owned: bought, renewed, fed and cooled."""
