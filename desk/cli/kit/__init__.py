"""What commands share: options, output as JSON, standard streams, whether there is a screen."""
